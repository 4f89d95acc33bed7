import { findReadingKind, getReadingId } from "../measure/reading-kinds.js";
import type { Measurement, Readings } from "../measure/types.js";
import type { PathToRank } from "./family-stats.js";

type Side = "left" | "right";

/**
 * The name of a path's second side.
 *
 * @example
 * nameSecondSide("7/mic", "right"); // "7/mic, right side"
 */
export function nameSecondSide(path: string, side: Side): string {
  return `${path}, ${side} side`;
}

/**
 * The family of second sides.
 *
 * @example
 * nameSecondFamily("mic", "right"); // "mic (right side)"
 */
export function nameSecondFamily(family: string, side: Side): string {
  return `${family} (${side} side)`;
}

/**
 * The second side of a path as a path of its own; undefined if recorded in mono.
 *
 * @example
 * const side = { readings: {}, absent: {}, curves: {} };
 * const measurement = { ...side, partner: { side: "right", ...side } };
 * toPartnerPath({ path: "7/mic", family: "mic", measurement }).path; // "7/mic, right side"
 * toPartnerPath({ path: "7/mic", family: "mic", measurement: side }); // undefined
 */
export function toPartnerPath({ path, family, measurement }: PathToRank): PathToRank | undefined {
  const other = measurement?.partner;
  if (!other) return undefined;
  const { side, readings, absent, curves } = other;
  const names = { path: nameSecondSide(path, side), family: nameSecondFamily(family, side) };
  if (isSecondSilent(measurement)) return { ...names, unheard: { code: "side-silent", side } };
  return { ...names, measurement: { readings, absent, curves } };
}

/**
 * Whether the second side carries no tone: the balance is a bound then.
 *
 * @example
 * const balance = { value: 60, unit: "dB", uncertainty: 6, bound: "lower" };
 * isSecondSilent({ readings: { balance } }); // true
 * isSecondSilent({ readings: {} }); // false
 */
export function isSecondSilent({ readings }: Pick<Measurement, "readings">): boolean {
  return readings[getReadingId("balance")]?.bound !== undefined;
}

/**
 * Which side is the second one on most paths; undefined if none was recorded in stereo.
 *
 * @example
 * const side = { readings: {}, absent: {}, curves: {} };
 * getUsualSecond([{ measurement: { ...side, partner: { side: "right", ...side } } }]); // "right"
 * getUsualSecond([{ measurement: side }]); // undefined
 */
export function getUsualSecond(
  paths: readonly Pick<PathToRank, "measurement">[],
): Side | undefined {
  const sides = paths.flatMap(({ measurement }) => measurement?.partner?.side ?? []);
  if (sides.length === 0) return undefined;
  return 2 * sides.filter((side) => side === "right").length >= sides.length ? "right" : "left";
}

/**
 * Exchanges sides so that all paths have the same one second: if the left side hardly comes
 * through, the right one was measured first, and would be compared with its siblings' left sides. A
 * path with a silent second side is not changed: there is nothing to compare.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const path = (first, second, side) => ({
 *   path: "7/mic",
 *   family: "mic",
 *   measurement: { ...of(first), partner: { side, ...of(second) } },
 * });
 * const [, , turned] = alignSides([path(0, 1, "right"), path(0, 1, "right"), path(1, 0, "left")]);
 * turned.measurement.partner.side; // "right"
 * turned.measurement.readings.gain.value; // 0
 */
export function alignSides<P extends PathToRank>(paths: readonly P[]): readonly P[] {
  const usual = getUsualSecond(paths);
  if (usual === undefined) return paths;
  return paths.map((path) => {
    const { measurement } = path;
    const isOther = measurement?.partner !== undefined && measurement.partner.side !== usual;
    if (!isOther || isSecondSilent(measurement)) return path;
    return { ...path, measurement: exchangeSides(measurement, usual) };
  });
}

/** Exchanges the sides, except readings of both together. */
function exchangeSides(measurement: Measurement, side: Side): Measurement {
  const { partner, readings, absent, curves } = measurement;
  if (partner === undefined) return measurement;
  const ofBoth = (both: boolean): Readings =>
    Object.fromEntries(
      Object.entries(readings).filter(([id]) => (findReadingKind(id)?.sides === "both") === both),
    );
  return {
    ...measurement,
    readings: { ...partner.readings, ...ofBoth(true) },
    absent: partner.absent,
    curves: partner.curves,
    partner: { side, readings: ofBoth(false), absent, curves },
  };
}
