/** One input of one strip up to the measured output. */
export interface DeskPath {
  /** Written strip/input: `7/mic`. */
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** The paths that ought to measure alike share a family name. */
  readonly family: string;
}
