import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import { deserializeError } from "./thread-failure.js";
import type { WorkerReply, WorkerRequest } from "./worker.js";

/** Starting a thread costs about as much as this many of these tasks. */
const tasksPerThread = 4;
const mostThreads = 8;

/** Called with the completed share of a task, 0 to 1. */
export type OnShare = (share: number) => void;

/** What the threads of a job run, and how to do the same without threads. */
export interface ThreadJob<T, R> {
  /** Compiled module that exports `run` under its own name. */
  readonly module: URL;
  /** Does one task in this thread; used where there is no compiled module to load. */
  readonly run: (task: T, onShare: OnShare) => R | Promise<R>;
  /**
   * Called when all tasks in this thread are done; a worker thread needs no tidying when it ends.
   */
  readonly tidy?: () => void;
}

/** Idle threads, kept for the next job; undefined if none are kept. */
let idle: Worker[] | undefined;

/**
 * Keeps threads between jobs while some work lasts: they start once, and the next job finds their
 * code compiled and their data cached.
 */
export async function withThreadPool<T>(work: () => Promise<T>): Promise<T> {
  if (idle !== undefined) return work();
  const kept: Worker[] = [];
  idle = kept;
  try {
    return await work();
  } finally {
    idle = undefined;
    await ended(kept);
  }
}

function ended(threads: readonly Worker[]) {
  return Promise.all(threads.map((thread) => thread.terminate()));
}

/**
 * Does independent tasks on as many threads as the machine has processors. Tasks and results are
 * plain data; a result does not depend on which thread made it, or on how many there are. Even a
 * single task runs in a thread, so that Ctrl-C and the progress bar need not wait for it.
 *
 * @param onDone called now and then with the number of completed tasks, including fractions
 * @returns one result per task, in the order of the tasks
 */
export async function runOnThreads<T, R>(
  job: ThreadJob<T, R>,
  tasks: readonly T[],
  onDone: (done: number) => void,
): Promise<readonly R[]> {
  if (tasks.length === 0) return [];
  // When run from source, there is no compiled module to load.
  if (!existsSync(fileURLToPath(job.module))) return inTurn(job, tasks, onDone);
  const worthwhile = Math.floor(tasks.length / tasksPerThread);
  const wanted = Math.max(1, Math.min(mostThreads, availableParallelism(), worthwhile));
  const threads = Array.from({ length: wanted }, () => idle?.pop() ?? newThread());
  let results: readonly R[];
  try {
    results = await served(job, tasks, threads, onDone);
  } catch (error) {
    // Some may still be working.
    await ended(threads);
    throw error;
  }
  if (idle === undefined) await ended(threads);
  else idle.push(...threads);
  return results;
}

const server = new URL("./worker.js", import.meta.url);
/**
 * The data is in large arrays outside the heap, so a small young generation is enough, which saves
 * 12 MB.
 */
const youngMb = 4;

function newThread(): Worker {
  return new Worker(server, { resourceLimits: { maxYoungGenerationSizeMb: youngMb } });
}

/** Hands tasks to threads, the next one to each thread as soon as it is free. */
async function served<T, R>(
  { module, run }: ThreadJob<T, R>,
  tasks: readonly T[],
  threads: readonly Worker[],
  onDone: (done: number) => void,
): Promise<readonly R[]> {
  const results = new Array<R>(tasks.length);
  let next = 0;
  let done = 0;
  const shares = threads.map(() => 0);
  const serve = (thread: Worker, k: number) =>
    new Promise<void>((resolve, reject) => {
      let at = -1;
      const send = () => {
        at = next++;
        if (at >= tasks.length) return resolve();
        const order: WorkerRequest<T> = { module: module.href, name: run.name, task: tasks[at] };
        thread.postMessage(order);
      };
      thread.on("message", (answer: WorkerReply<R>) => {
        if ("share" in answer) {
          shares[k] = answer.share;
        } else if ("failed" in answer) {
          reject(deserializeError(answer.failed));
        } else {
          results[at] = answer.result;
          shares[k] = 0;
          done++;
          send();
        }
        onDone(shares.reduce((sum, share) => sum + share, done));
      });
      thread.on("error", reject);
      send();
    }).finally(() => {
      thread.removeAllListeners("message");
      thread.removeAllListeners("error");
    });
  await Promise.all(threads.map(serve));
  return results;
}

async function inTurn<T, R>(
  { run, tidy }: ThreadJob<T, R>,
  tasks: readonly T[],
  onDone: (done: number) => void,
): Promise<readonly R[]> {
  const results: R[] = [];
  try {
    for (const task of tasks) {
      results.push(await run(task, (share) => onDone(results.length + share)));
      onDone(results.length);
      // Lets the progress bar and Ctrl-C run.
      await new Promise((resolve) => setImmediate(resolve));
    }
  } finally {
    tidy?.();
  }
  return results;
}
