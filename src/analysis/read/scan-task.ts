import { type FrameRange, type Scan, scanBlock } from "../../capture/find/scan.js";
import type { RecordingInfo } from "../../capture/types.js";
import { getThreadReader } from "../../threads/thread-files.js";
import type { OnShare } from "../../threads/thread-pool.js";

/** One block of a capture, or of joined files, to search: plain data. */
export interface ScanTask {
  readonly info: RecordingInfo;
  readonly stretch: FrameRange;
  /** Bounds of the whole search. */
  readonly whole: FrameRange;
}

/** Searches a block for chirps. */
export async function runScanTask(
  { info, stretch, whole }: ScanTask,
  onShare: OnShare,
): Promise<Scan> {
  return scanBlock(await getThreadReader(info), stretch, whole, onShare);
}
