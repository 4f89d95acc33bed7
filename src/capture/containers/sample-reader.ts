import type { RecordingInfo } from "../types.js";

/**
 * Reads samples of a capture block by block; memory does not grow with the file. Reading the same
 * frames, up to 65 536, of one channel after another costs one file access.
 */
export interface SampleReader {
  readonly info: RecordingInfo;
  /** Sample frames that can be read: those of the file, and of the files that continue it. */
  readonly frames: number;
  /**
   * Count of invalid samples (NaN, infinite, more than a hundred times full scale) in all reads so
   * far; the difference over a read is the count in it. They are returned as 0.
   */
  readonly badSamples: number;
  /** Set once all samples were read in order and do not match the file's own checksum. */
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
