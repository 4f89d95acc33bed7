/** Runs in a thread: does every task that it is sent, for any job. */
import { parentPort } from "node:worker_threads";
import { type SerializedError, serializeError } from "./thread-failure.js";

/** A task, and the function that does it. */
export interface WorkerRequest<T> {
  /** URL of a module. */
  readonly module: string;
  /** The name under which it exports the function. */
  readonly name: string;
  readonly task: T;
}

export type WorkerReply<R> =
  | { readonly result: R }
  | { readonly failed: SerializedError }
  | { readonly share: number };

type Run = (task: unknown, onShare: (share: number) => void) => unknown;

const port = parentPort;

port?.on("message", async ({ module, name, task }: WorkerRequest<unknown>) => {
  let answer: WorkerReply<unknown>;
  try {
    const run: Run = (await import(module))[name];
    answer = { result: await run(task, (share) => port.postMessage({ share })) };
  } catch (error) {
    answer = { failed: serializeError(error) };
  }
  port.postMessage(answer);
});
