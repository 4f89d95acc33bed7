import { type FrameRange, type Scan, scanBlock } from "../../capture/find/scan.js";
import type { RecordingInfo } from "../../capture/types.js";
import { getThreadReader } from "../../threads/thread-files.js";
import type { OnShare } from "../../threads/thread-pool.js";

/** One stretch of a capture, or of files joined to one, to look through: plain data. */
export interface ScanTask {
  readonly info: RecordingInfo;
  readonly stretch: FrameRange;
  /** Bounds of the search that the stretch is a part of. */
  readonly whole: FrameRange;
}

/** Looks through a stretch for chirps. */
export async function runScanTask(
  { info, stretch, whole }: ScanTask,
  onShare: OnShare,
): Promise<Scan> {
  return scanBlock(await getThreadReader(info), stretch, whole, onShare);
}
