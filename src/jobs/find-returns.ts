import {
  type Found,
  foundReturns,
  type Pair,
  pairMarkers,
  type SearchScope,
} from "../capture/find.js";
import { type Scan, type Span, stretchesOf } from "../capture/scan.js";
import type { Return, WavInfo } from "../capture/types.js";
import { type PlaceTask, runPlaceTask } from "./place-task.js";
import { runScanTask, type ScanTask } from "./scan-task.js";
import { closeFiles } from "./thread-files.js";
import { onThreads, type ThreadJob } from "./threads.js";

/** A capture, or files joined to one, to look through for returns. */
export interface Search {
  readonly info: WavInfo;
  readonly scope: SearchScope;
}

const scanning: ThreadJob<ScanTask, Scan> = {
  module: new URL("./scan-task.js", import.meta.url),
  run: runScanTask,
  tidy: closeFiles,
};

const placing: ThreadJob<PlaceTask, readonly Return[]> = {
  module: new URL("./place-task.js", import.meta.url),
  run: runPlaceTask,
  tidy: closeFiles,
};

/** Returns placed at a time. */
const pairsPerTask = 4;

/**
 * Finds the returns in captures, their stretches shared among threads. What is found does not
 * depend on how many there are.
 *
 * @param onDone called now and then with how many captures are done, parts of them counted
 * @returns one result a search, in their order
 * @throws DeskroundError `wav-damaged`, `no-such-file`
 */
export async function findOnThreads(
  searches: readonly Search[],
  onDone: (done: number) => void,
): Promise<readonly Found[]> {
  const scanTasks = searches.flatMap(({ info, scope }) => {
    const whole = scope.range ?? wholeOf(info);
    return stretchesOf(whole, info.sampleRate).map(
      (stretch): ScanTask => ({ info, stretch, whole }),
    );
  });
  const scans = await onThreads(scanning, scanTasks, (done) =>
    onDone((searches.length * done) / scanTasks.length),
  );
  const paired = searches.map(({ info }) =>
    pairMarkers(
      scans.filter((_, k) => scanTasks[k].info === info),
      info.sampleRate,
    ),
  );
  const placeTasks = searches.flatMap(({ info }, i) =>
    inGroups(paired[i].pairs).map((pairs): PlaceTask => ({ info, pairs })),
  );
  const placed = await onThreads(placing, placeTasks, () => {});
  return searches.map(({ info, scope }, i) => {
    const returns = placed.filter((_, k) => placeTasks[k].info === info).flat();
    return foundReturns(info, paired[i], returns, scope);
  });
}

function wholeOf(info: WavInfo): Span {
  let frames = 0;
  for (let part: WavInfo | undefined = info; part; part = part.continuedBy) frames += part.frames;
  return [0, frames];
}

function inGroups(pairs: readonly Pair[]): readonly (readonly Pair[])[] {
  const count = Math.ceil(pairs.length / pairsPerTask);
  return Array.from({ length: count }, (_, k) =>
    pairs.slice(k * pairsPerTask, (k + 1) * pairsPerTask),
  );
}
