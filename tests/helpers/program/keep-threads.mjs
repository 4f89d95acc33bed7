import { once } from "node:events";
import threads from "node:worker_threads";

const { Worker } = threads;

/**
 * Has a program keep the threads that it ends, for its next command: a thread that has measured a
 * return takes a sixth of the time for the next one. The files that it left open are closed, and one
 * that is ended in the middle of a task is ended.
 *
 * @param {URL} folder of the built program
 */
export function keepThreads(folder) {
  const closing = {
    module: new URL("close-files.mjs", import.meta.url).href,
    name: "closeFiles",
    task: folder.href,
  };
  const server = new URL("worker.js", folder).href;
  const idle = [];

  class KeptThread extends Worker {
    #open = 0;

    postMessage(task) {
      this.ref();
      this.#open++;
      super.postMessage(task);
    }

    emit(name, ...values) {
      if (name === "message" && !("share" in values[0])) this.#open--;
      return super.emit(name, ...values);
    }

    async terminate() {
      if (this.#open > 0) return super.terminate();
      const closed = once(this, "message");
      this.postMessage(closing);
      const [answer] = await closed;
      if ("failed" in answer) throw new Error(JSON.stringify(answer.failed));
      this.unref();
      idle.push(this);
    }
  }

  threads.Worker = function startThread(at, options) {
    if (String(at) !== server) return new Worker(at, options);
    return idle.pop() ?? new KeptThread(at, options);
  };
}
