import {
  buildSearchResult,
  type MarkerPair,
  pairMarkers,
  type SearchResult,
  type SearchScope,
} from "../../capture/find/find-returns.js";
import { type FrameRange, type Scan, splitIntoBlocks } from "../../capture/find/scan.js";
import type { RecordingInfo, SignalReturn } from "../../capture/types.js";
import { closeThreadFiles } from "../../threads/thread-files.js";
import { runOnThreads, type ThreadJob } from "../../threads/thread-pool.js";
import { type BuildReturnsTask, runBuildReturnsTask } from "./build-returns-task.js";
import { runScanTask, type ScanTask } from "./scan-task.js";

/** A capture, or joined files, to search for returns. */
export interface CaptureSearch {
  readonly info: RecordingInfo;
  readonly scope: SearchScope;
}

const scanning: ThreadJob<ScanTask, Scan> = {
  module: new URL("./scan-task.js", import.meta.url),
  run: runScanTask,
  tidy: closeThreadFiles,
};

const placing: ThreadJob<BuildReturnsTask, readonly SignalReturn[]> = {
  module: new URL("./build-returns-task.js", import.meta.url),
  run: runBuildReturnsTask,
  tidy: closeThreadFiles,
};

/** Returns located per task. */
const pairsPerTask = 4;

/**
 * Finds the returns in captures, with blocks shared among threads. Results do not depend on the
 * number of threads.
 *
 * @param onDone called now and then with the number of captures done, including fractions
 *
 * @returns one result per search, in order
 * @throws DeskroundError `recording-damaged`, `no-such-file`
 */
export async function searchCaptures(
  searches: readonly CaptureSearch[],
  onDone: (done: number) => void,
): Promise<readonly SearchResult[]> {
  const scanTasks = searches.flatMap(({ info, scope }) => {
    const whole = scope.range ?? wholeOf(info);
    return splitIntoBlocks(whole, info.sampleRate).map(
      (stretch): ScanTask => ({ info, stretch, whole }),
    );
  });
  const scans = await runOnThreads(scanning, scanTasks, (done) =>
    onDone((searches.length * done) / scanTasks.length),
  );
  const paired = searches.map(({ info }) =>
    pairMarkers(
      scans.filter((_, k) => scanTasks[k].info === info),
      info.sampleRate,
    ),
  );
  const placeTasks = searches.flatMap(({ info }, i) =>
    inGroups(paired[i].pairs).map((pairs): BuildReturnsTask => ({ info, pairs })),
  );
  const placed = await runOnThreads(placing, placeTasks, () => {});
  return searches.map(({ info, scope }, i) => {
    const returns = placed.filter((_, k) => placeTasks[k].info === info).flat();
    return buildSearchResult(info, paired[i], returns, scope);
  });
}

function wholeOf(info: RecordingInfo): FrameRange {
  let frames = 0;
  for (let part: RecordingInfo | undefined = info; part; part = part.continuedBy)
    frames += part.frames;
  return [0, frames];
}

function inGroups(pairs: readonly MarkerPair[]): readonly (readonly MarkerPair[])[] {
  const count = Math.ceil(pairs.length / pairsPerTask);
  return Array.from({ length: count }, (_, k) =>
    pairs.slice(k * pairsPerTask, (k + 1) * pairsPerTask),
  );
}
