/** What runs in a thread: does every task that it is sent, of whatever job. */
import { parentPort } from "node:worker_threads";
import { type Failure, failure } from "./thread-failure.js";

/** A task, and the function that does it. */
export interface Order<T> {
  /** Address of a module. */
  readonly module: string;
  /** What it exports the function as. */
  readonly name: string;
  readonly task: T;
}

export type Answer<R> =
  | { readonly result: R }
  | { readonly failed: Failure }
  | { readonly share: number };

type Run = (task: unknown, onShare: (share: number) => void) => unknown;

const port = parentPort;

port?.on("message", async ({ module, name, task }: Order<unknown>) => {
  let answer: Answer<unknown>;
  try {
    const run: Run = (await import(module))[name];
    answer = { result: run(task, (share) => port.postMessage({ share })) };
  } catch (error) {
    answer = { failed: failure(error) };
  }
  port.postMessage(answer);
});
