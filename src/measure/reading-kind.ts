import type { ReturnContext } from "./return-context.js";
import type { AbsentReading, Reading } from "./types.js";

/**
 * Which way a reading moves when a path falls ill: `up` for noise and distortion, `down` for
 * headroom, `both` where any difference is one, `none` where it only describes.
 */
export type HarmDirection = "up" | "down" | "both" | "none";

/**
 * How the interface's own share stands in a reading made through it.
 *
 * - `power`: noise of its own, which adds as power and can be taken off; `steady` names the reading
 *   of the part that does not (mains lines, harmonics), whose phase is unknown
 * - `phase`: adds as voltage with unknown phase and cannot be taken off (distortion, mains lines)
 * - `difference`: adds in the reading's own unit (delay, compression)
 */
export type OwnShare =
  | { readonly adds: "power"; readonly steady?: string }
  | { readonly adds: "phase" }
  | { readonly adds: "difference" };

/** One row of the registry: what a reading is and how it is made. */
export interface ReadingKind {
  /** Its name in files. */
  readonly id: string;
  /** In words of the trade, as it stands in a sentence: "noise", "level". */
  readonly name: string;
  readonly unit: string;
  readonly harm: HarmDirection;
  /** A difference smaller than this is of no concern at any certainty; unit of the reading. */
  readonly least: number;
  /** Name of the segment it is made from; a profile without that segment has no such reading. */
  readonly segment: string;
  /** How the interface's own share adds; absent where it has none or is dealt with apart. */
  readonly own?: OwnShare;
  /** Whether a return can have such a reading at all; every return can when left out. */
  applies?(context: ReturnContext): boolean;
  read(context: ReturnContext): Reading | AbsentReading;
}

/** Whether a reading was made. */
export function isReading(reading: Reading | AbsentReading): reading is Reading {
  return !("absent" in reading);
}
