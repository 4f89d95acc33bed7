import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import { deserializeError } from "./thread-failure.js";
import type { WorkerReply, WorkerRequest } from "./worker.js";

/** Starting a thread costs as much as this many tasks of the kind done here. */
const tasksPerThread = 4;
const mostThreads = 8;

/** Called with the share of a task that is done, 0 to 1. */
export type OnShare = (share: number) => void;

/** What the threads of a job run, and how the same is done without threads. */
export interface ThreadJob<T, R> {
  /** Compiled module that exports `run` under its own name. */
  readonly module: URL;
  /** Does one task in this thread; used where there is no compiled module to load. */
  readonly run: (task: T, onShare: OnShare) => R | Promise<R>;
  /** Called when all that was done in this thread is done; a thread's own end tidies up after it. */
  readonly tidy?: () => void;
}

/** Threads without work, kept for the next job; undefined where none are kept. */
let idle: Worker[] | undefined;

/**
 * Keeps threads from one job to the next while some work lasts: they start once, and what one job
 * has made quick and laid ready serves the next.
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
 * single task gets a thread of its own, so that Ctrl-C and the progress bar need not wait for it.
 *
 * @param onDone called now and then with how many tasks are done, parts of them counted
 * @returns one result a task, in the tasks' order
 */
export async function runOnThreads<T, R>(
  job: ThreadJob<T, R>,
  tasks: readonly T[],
  onDone: (done: number) => void,
): Promise<readonly R[]> {
  if (tasks.length === 0) return [];
  // Run from sources there is no compiled module to load.
  if (!existsSync(fileURLToPath(job.module))) return inTurn(job, tasks, onDone);
  const worthwhile = Math.floor(tasks.length / tasksPerThread);
  const wanted = Math.max(1, Math.min(mostThreads, availableParallelism(), worthwhile));
  const threads = Array.from({ length: wanted }, () => idle?.pop() ?? newThread());
  let results: readonly R[];
  try {
    results = await served(job, tasks, threads, onDone);
  } catch (error) {
    // Some may still be at work.
    await ended(threads);
    throw error;
  }
  if (idle === undefined) await ended(threads);
  else idle.push(...threads);
  return results;
}

const server = new URL("./worker.js", import.meta.url);
/** The work lies in large arrays outside the heap; little is young at a time, and 12 MB are saved. */
const youngMb = 4;

function newThread(): Worker {
  return new Worker(server, { resourceLimits: { maxYoungGenerationSizeMb: youngMb } });
}

/** Hands the tasks to threads, each the next one as soon as it is free. */
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
      // A breath for the progress bar and for Ctrl-C.
      await new Promise((resolve) => setImmediate(resolve));
    }
  } finally {
    tidy?.();
  }
  return results;
}
