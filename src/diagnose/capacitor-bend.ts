import { getReadingId } from "../measure/reading-kinds.js";
import type { PathEvidence } from "./path-evidence.js";

/** Tones whose distortion a round reads, hertz. */
const lowHz = 100;
const highHz = 1000;
/**
 * The loud tone plays this far above nominal, decibels; distortion of order n rises by n − 1 times
 * as much.
 */
const loudDb = 12;
const orders = [2, 3] as const;
/**
 * The nonlinearity of a capacitor is not a pure square or cube: up to this much more at 1 kHz than
 * either gives, decibels (a guess).
 */
const beyondDb = 10;
/** Scatter of siblings, decibels. */
const anywayDb = 1;

/**
 * From this corner on the voltage across a capacitor distorts 100 Hz; below, too little drops
 * across it (common practice), hertz.
 */
export const bendsFromHz = 15;

/** The most by which a capacitor can lift the distortion of 1 kHz above its siblings', decibels. */
export interface BendAt1k {
  readonly nominalDb: number;
  readonly loudDb: number;
}

/**
 * How far a capacitor that distorts 100 Hz can distort 1 kHz. The share of the signal across it
 * falls with frequency, f_c/√(f² + f_c²), and its distortion with the square or the cube of that
 * (circuit theory): with a corner of 100 Hz it is 36 dB lower at 1 kHz. If 1 kHz is distorted as
 * much as 100 Hz, another part does it.
 *
 * @param cornerHz of the capacitor, hertz
 * @returns undefined if the distortion of 100 Hz was not read
 * @example
 * const db = (value) => ({ value, unit: "dB", uncertainty: 0.1 });
 * const median = (value) => ({ count: 9, median: value, scale: 1 });
 * const usual = { readings: { thd: median(-100), thdHot: median(-90) } };
 * const path = (thd100) => ({ measurement: { readings: { thd100: db(thd100) } }, usual });
 * findBendAt1k(path(-40), 100).nominalDb.toFixed(0); // "34"
 * findBendAt1k(path(-95), 100).nominalDb.toFixed(0); // "1"
 * findBendAt1k({}, 100); // undefined
 */
export function findBendAt1k(
  { measurement, usual }: Pick<PathEvidence, "measurement" | "usual">,
  cornerHz: number,
): BendAt1k | undefined {
  const low = measurement?.readings[getReadingId("low-distortion")];
  const nominal = usual?.readings[getReadingId("distortion")]?.median;
  const loud = usual?.readings[getReadingId("overload-distortion")]?.median;
  if (!low || nominal === undefined) return undefined;
  const fall = (order: number) => bendOf(highHz, cornerHz, order) - bendOf(lowHz, cornerHz, order);
  const most = (aboveDb: number) =>
    low.value + beyondDb + Math.max(...orders.map((n) => fall(n) + (n - 1) * aboveDb));
  const risen = (own: number, median: number) =>
    Math.max(anywayDb, 10 * Math.log10(1 + 10 ** ((own - median) / 10)));
  return {
    nominalDb: risen(most(0), nominal),
    loudDb: risen(most(loudDb), loud ?? nominal),
  };
}

/** Distortion of one order that a capacitor gives a tone, decibels, all else equal. */
function bendOf(hz: number, cornerHz: number, order: number): number {
  const across = cornerHz / Math.hypot(hz, cornerHz);
  const passed = (f: number) => f / Math.hypot(f, cornerHz);
  return 20 * Math.log10((across ** order * passed(order * hz)) / passed(hz));
}
