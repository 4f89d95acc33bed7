import type { RecordingInfo } from "../types.js";
import type { OpenFile } from "./open-file.js";
import type { SampleReader } from "./sample-reader.js";

/**
 * A kind of file that recordings come in.
 *
 * `I` is what its `inspect` returns: plain data, as it goes to other threads, with whatever more its
 * own `openSamples` needs.
 */
export interface Container<I extends RecordingInfo = RecordingInfo> {
  /** As pages and messages call it; `container` of every info that it returns. */
  readonly name: string;
  /** What the names of its files end in: small letters, without the dot. */
  readonly extensions: readonly string[];
  /**
   * Whether a file is one of these.
   *
   * @param head its first 12 bytes, or all when it is shorter
   */
  isOne(head: Uint8Array): boolean;
  /**
   * Reads what the header says, checks it against the file, and lists every doubt: a few positioned
   * reads, whatever the file's length.
   *
   * @throws DeskroundError `recording-damaged`, `recording-unsupported`
   */
  inspect(source: OpenFile): I;
  /**
   * Opens the samples of one inspected file. A library that decodes them is loaded here.
   *
   * @throws DeskroundError `no-such-file`
   */
  openSamples(info: I): SampleReader | Promise<SampleReader>;
}
