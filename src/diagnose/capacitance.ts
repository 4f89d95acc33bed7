import { getReadingId } from "../measure/reading-kinds.js";
import type { PathEvidence } from "./path-evidence.js";

/**
 * What is left of a capacitor, from its corner's shift: a first-order corner moves in inverse
 * proportion to the capacitance (common practice). Said only where the siblings' own corner is
 * known; theirs is that of all capacitors in a row, so the figure is a rough one.
 *
 * @param cornerHz corner of the path
 * @returns words to append, or nothing
 */
export function formatCapacitanceLeft(path: PathEvidence, cornerHz: number): string {
  const usual = path.usual?.readings[getReadingId("lower-corner")]?.median;
  if (usual === undefined || !(usual > 0) || usual >= cornerHz) return "";
  const percent = (100 * usual) / cornerHz;
  return ` (about ${percent < 10 ? percent.toFixed(0) : (Math.round(percent / 5) * 5).toFixed(0)} % of the siblings' capacitance is left)`;
}
