import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";
import { parentPort, Worker } from "node:worker_threads";
import { DeskroundError, type ErrorCode } from "../errors.js";

/** Starting a thread costs as much as this many tasks of the kind done here. */
const tasksPerThread = 4;
const mostThreads = 8;

/** Called with the share of a task that is done, 0 to 1. */
export type OnShare = (share: number) => void;

/** What the threads of a job run, and how the same is done without threads. */
export interface ThreadJob<T, R> {
  /** Compiled module that calls {@link serveTasks}. */
  readonly script: URL;
  /** Does one task in this thread; used where there is no compiled module to start. */
  readonly run: (task: T, onShare: OnShare) => R;
}

/**
 * Does independent tasks on as many threads as the machine has processors. Tasks and results are
 * plain data; a result does not depend on which thread made it, or on how many there are. Even a
 * single task gets a thread of its own, so that Ctrl-C and the progress bar need not wait for it.
 *
 * @param onDone called now and then with how many tasks are done, parts of them counted
 * @returns one result a task, in the tasks' order
 */
export async function onThreads<T, R>(
  job: ThreadJob<T, R>,
  tasks: readonly T[],
  onDone: (done: number) => void,
): Promise<readonly R[]> {
  if (tasks.length === 0) return [];
  // Run from sources there is no compiled module to start.
  if (!existsSync(fileURLToPath(job.script))) return inTurn(job, tasks, onDone);
  const worthwhile = Math.floor(tasks.length / tasksPerThread);
  const wanted = Math.max(1, Math.min(mostThreads, availableParallelism(), worthwhile));
  const results = new Array<R>(tasks.length);
  let next = 0;
  let done = 0;
  const shares = new Array<number>(wanted).fill(0);
  const serve = (thread: Worker, k: number) =>
    new Promise<void>((resolve, reject) => {
      let at = -1;
      const send = () => {
        at = next++;
        if (at < tasks.length) thread.postMessage(tasks[at]);
        else resolve();
      };
      thread.on("message", (answer: Answer<R>) => {
        if ("share" in answer) {
          shares[k] = answer.share;
        } else if ("failed" in answer) {
          reject(thrown(answer.failed));
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
    });
  const threads = Array.from(shares, () => new Worker(job.script));
  try {
    await Promise.all(threads.map(serve));
  } finally {
    await Promise.all(threads.map((thread) => thread.terminate()));
  }
  return results;
}

type Answer<R> = { readonly result: R } | { readonly failed: Failure } | { readonly share: number };

/** What a task threw. An error loses its class on the way to another thread. */
interface Failure {
  readonly error: unknown;
  readonly deskround?: { readonly code: ErrorCode; readonly hint: string | undefined };
}

function failure(error: unknown): Failure {
  if (!(error instanceof DeskroundError)) return { error };
  const { code, hint } = error;
  return { error, deskround: { code, hint } };
}

function thrown({ error, deskround }: Failure): unknown {
  if (deskround === undefined || !(error instanceof Error)) return error;
  return new DeskroundError(deskround.code, error.message, deskround.hint, error.cause);
}

/** Called by a thread's module: does every task that is sent to it. */
export function serveTasks<T, R>(run: ThreadJob<T, R>["run"]): void {
  parentPort?.on("message", (task: T) => {
    let answer: Answer<R>;
    try {
      answer = { result: run(task, (share) => parentPort?.postMessage({ share })) };
    } catch (error) {
      answer = { failed: failure(error) };
    }
    parentPort?.postMessage(answer);
  });
}

async function inTurn<T, R>(
  { run }: ThreadJob<T, R>,
  tasks: readonly T[],
  onDone: (done: number) => void,
): Promise<readonly R[]> {
  const results: R[] = [];
  for (const task of tasks) {
    results.push(run(task, (share) => onDone(results.length + share)));
    onDone(results.length);
    // A breath for the progress bar and for Ctrl-C.
    await new Promise((resolve) => setImmediate(resolve));
  }
  return results;
}
