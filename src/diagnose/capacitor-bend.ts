import { getReadingId } from "../measure/reading-kinds.js";
import type { PathEvidence } from "./path-evidence.js";

/** Tones whose distortion a round reads, hertz. */
const lowHz = 100;
const highHz = 1000;
/** So far above nominal the loud tone plays, decibels; distortion of order n goes with n − 1 times it. */
const loudDb = 12;
const orders = [2, 3] as const;
/** A capacitor's bend is no pure square or cube: so much more at 1 kHz than either gives, decibels (a guess). */
const beyondDb = 10;
/** What siblings differ by anyway, decibels. */
const anywayDb = 1;

/** From a corner here on the volts across it distort 100 Hz; below, too little of them stands there (common practice). */
export const bendsFromHz = 15;

/** The most by which a capacitor can lift the distortion of 1 kHz above its siblings', decibels. */
export interface BendAt1k {
  readonly nominalDb: number;
  readonly loudDb: number;
}

/**
 * What a capacitor that bends 100 Hz can do to 1 kHz. The share of the signal that stands across it
 * falls with frequency, f_c/√(f² + f_c²), and what it bends goes with the square or the cube of that
 * (circuit theory): of a corner of 100 Hz it leaves 36 dB less at 1 kHz. Distortion of 1 kHz that is
 * as much as that of 100 Hz is another part's.
 *
 * @param cornerHz of the capacitor, hertz
 * @returns undefined where the distortion of 100 Hz was not read
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
