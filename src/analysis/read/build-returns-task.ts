import { buildReturn, type MarkerPair } from "../../capture/find/find-returns.js";
import type { SignalReturn, WavInfo } from "../../capture/types.js";
import { getThreadReader } from "../../threads/thread-files.js";

/** Some returns of a capture, known by their markers, to be placed: plain data. */
export interface BuildReturnsTask {
  readonly info: WavInfo;
  readonly pairs: readonly MarkerPair[];
}

/** Places returns to a fraction of a sample. */
export function runBuildReturnsTask({ info, pairs }: BuildReturnsTask): readonly SignalReturn[] {
  const reader = getThreadReader(info);
  return pairs.map((pair) => buildReturn(reader, pair));
}
