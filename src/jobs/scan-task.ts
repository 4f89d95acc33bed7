import { type Scan, type Span, scanStretch } from "../capture/scan.js";
import type { WavInfo } from "../capture/types.js";
import { readerOf } from "./thread-files.js";
import type { OnShare } from "./threads.js";

/** One stretch of a capture, or of files joined to one, to look through: plain data. */
export interface ScanTask {
  readonly info: WavInfo;
  readonly stretch: Span;
  /** Bounds of the search that the stretch is a part of. */
  readonly whole: Span;
}

/** Looks through a stretch for chirps. */
export function runScanTask({ info, stretch, whole }: ScanTask, onShare: OnShare): Scan {
  return scanStretch(readerOf(info), stretch, whole, onShare);
}
