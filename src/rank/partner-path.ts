import { getReadingId } from "../measure/reading-kinds.js";
import type { PathToRank } from "./family-stats.js";

/** The family of second sides. */
export function nameSecondFamily(family: string, side: "left" | "right"): string {
  return `${family} (${side} side)`;
}

/** The second side of a stereo bus as a path among second sides; undefined for any other. */
export function toPartnerPath({ path, family, measurement }: PathToRank): PathToRank | undefined {
  const other = measurement?.partner;
  if (!other) return undefined;
  const { side, readings, absent, curves } = other;
  const names = { path: `${path}, ${side} side`, family: nameSecondFamily(family, side) };
  // A bound as balance: this side carries no tone.
  if (measurement.readings[getReadingId("balance")]?.bound !== undefined) {
    return { ...names, unheard: `the ${side} side is silent` };
  }
  return { ...names, measurement: { readings, absent, curves } };
}
