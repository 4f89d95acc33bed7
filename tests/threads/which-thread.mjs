import { threadId } from "node:worker_threads";

/** The number of the thread that a task is done in. */
export function whichThread() {
  return threadId;
}
