/** One input of one strip up to the measured output. */
export interface DeskPath {
  /** Written strip/input: `7/mic`. */
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** Paths that should measure the same share a family name. */
  readonly family: string;
}
