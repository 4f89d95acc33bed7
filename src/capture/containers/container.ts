import type { RecordingKind } from "../../desk/recording-kinds.js";
import type { RecordingInfo } from "../types.js";
import type { OpenFile } from "./open-file.js";
import type { SampleReader } from "./sample-reader.js";

/**
 * A kind of file that recordings come in.
 *
 * `I` is what its `inspect` returns: plain data, since it goes to other threads, with whatever
 * `openSamples` needs.
 */
export interface Container<I extends RecordingInfo = RecordingInfo> {
  /** Name in pages and messages; `container` of every info that it returns. */
  readonly name: RecordingKind;
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
   * Opens the samples of one inspected file. A decoding library is loaded here.
   *
   * @throws DeskroundError `no-such-file`
   */
  openSamples(info: I): SampleReader | Promise<SampleReader>;
  /** How its files grow; absent if it cannot be known how far a file was written. */
  readonly growth?: Growth;
}

/** How a file of uncompressed samples grows. */
export interface Growth {
  /** Beginnings of a header whose rest is not yet written: four characters each. */
  readonly beginnings: readonly string[];
  /**
   * Whether the bytes after the samples promised by the header are not samples: then the recorder
   * has closed the file.
   *
   * @param end byte after the samples
   */
  isOver(source: OpenFile, end: number): boolean;
}
