import { buildReturn, type MarkerPair } from "../../capture/find/find-returns.js";
import type { RecordingInfo, SignalReturn } from "../../capture/types.js";
import { getThreadReader } from "../../threads/thread-files.js";

/** Some returns of a capture to be located, given by their markers: plain data. */
export interface BuildReturnsTask {
  readonly info: RecordingInfo;
  readonly pairs: readonly MarkerPair[];
}

/** Locates returns to a fraction of a sample. */
export async function runBuildReturnsTask({
  info,
  pairs,
}: BuildReturnsTask): Promise<readonly SignalReturn[]> {
  const reader = await getThreadReader(info);
  return pairs.map((pair) => buildReturn(reader, pair));
}
