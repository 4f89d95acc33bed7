import type { RecordingInfo } from "../types.js";

/**
 * Reads samples of a capture block by block; memory does not grow with the file. Asking for the
 * same up to 65 536 frames of one channel after the other costs one access to the file.
 */
export interface SampleReader {
  readonly info: RecordingInfo;
  /** Sample frames that can be read: those of the file, and of the files that continue it. */
  readonly frames: number;
  /**
   * Samples that no converter gives (NaN, infinite, more than a hundred times full scale) among all
   * handed out so far, each time they were handed out; the difference around a read is the count in
   * it. They are handed out as 0.
   */
  readonly badSamples: number;
  /**
   * Set once all samples were read in order and are not those that the file's own checksum was made
   * of.
   */
  readonly isAltered?: boolean;
  /**
   * Decodes one channel to full scale ±1; integers are divided by 2^(bits−1).
   *
   * @param firstFrame first sample frame, from 0
   * @param count frames wanted
   * @param channel from 0
   * @param out filled from index 0; at least `count` long
   * @returns frames read; fewer than `count` at the end of the file
   * @throws DeskroundError `recording-damaged` when the disk gives less than the file held
   */
  read(firstFrame: number, count: number, channel: number, out: Float64Array): number;
  close(): void;
}
