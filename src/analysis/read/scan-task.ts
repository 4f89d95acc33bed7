import { type FrameRange, type Scan, scanBlock } from "../../capture/find/scan.js";
import type { WavInfo } from "../../capture/types.js";
import { getThreadReader } from "../../threads/thread-files.js";
import type { OnShare } from "../../threads/thread-pool.js";

/** One stretch of a capture, or of files joined to one, to look through: plain data. */
export interface ScanTask {
  readonly info: WavInfo;
  readonly stretch: FrameRange;
  /** Bounds of the search that the stretch is a part of. */
  readonly whole: FrameRange;
}

/** Looks through a stretch for chirps. */
export function runScanTask({ info, stretch, whole }: ScanTask, onShare: OnShare): Scan {
  return scanBlock(getThreadReader(info), stretch, whole, onShare);
}
