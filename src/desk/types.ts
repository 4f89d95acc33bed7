/** One input of one strip up to the measured output. */
export interface DeskPath {
  /** Written strip/input: `7/mic`. */
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** The paths that ought to measure alike share a family name. */
  readonly family: string;
}

/** A kind of input found on every strip. */
export interface DeskInput {
  readonly name: string;
  /** Level at the socket when the signal plays at its nominal level, dBu. */
  readonly nominalDbu: number;
  /** How to set the strip for this input, in the owner's words. */
  readonly setup: string;
  /** Resistance that the socket sees while the signal is silent, ohms; absent when not known. */
  readonly sourceOhm?: number;
}

/** The desk file, read and checked. Paths stand in run-sheet order. */
export interface Desk {
  readonly name: string;
  readonly mainsHz: 50 | 60;
  readonly strips: readonly string[];
  readonly inputs: readonly DeskInput[];
  /** Level at the mix output when the signal plays at its nominal level, dBu. */
  readonly referenceDbu: number;
  readonly order: "by-input" | "by-strip";
  readonly paths: readonly DeskPath[];
}
