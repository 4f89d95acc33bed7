import type { RecordingKind } from "../../desk/recording-kinds.js";
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
   * Opens the samples of one inspected file. A library that decodes them is loaded here.
   *
   * @throws DeskroundError `no-such-file`
   */
  openSamples(info: I): SampleReader | Promise<SampleReader>;
  /** How its files grow; absent where nobody can tell how far one was written. */
  readonly growth?: Growth;
}

/** How a file grows whose samples lie as they are, one after the other. */
export interface Growth {
  /** What a header may begin with of which the rest is not written yet: four characters each. */
  readonly beginnings: readonly string[];
  /**
   * Whether what lies behind the samples that the header promises is something else: then the
   * recorder has closed the file. Otherwise they are more samples.
   *
   * @param end byte behind the samples
   */
  isOver(source: OpenFile, end: number): boolean;
}
