import { rmSync } from "node:fs";
import { join } from "node:path";
import { threadId } from "node:worker_threads";
import { describe, expect, it } from "vitest";
import { inspectWav } from "../../src/capture/wav.js";
import { runScanTask, type ScanTask } from "../../src/jobs/scan-task.js";
import { answer, newDesk, pause, writeCapture } from "./recordings.js";

/** As built, since a thread needs compiled modules. */
const built = new URL("../../dist/", import.meta.url);
const scanning = { module: new URL("jobs/scan-task.js", built), run: runScanTask };
const { keepingThreads, onThreads }: typeof import("../../src/jobs/threads.js") = await import(
  new URL("jobs/threads.js", built).href
);
const { DeskroundError }: typeof import("../../src/errors.js") = await import(
  new URL("errors.js", built).href
);
const numbering = {
  module: new URL("which-thread.mjs", import.meta.url),
  run: function whichThread() {
    return threadId;
  },
};
const rate = 48_000;

function taskOf(file: string): ScanTask {
  const info = inspectWav(file);
  return { info, stretch: [0, info.frames], whole: [0, info.frames] };
}

describe("tasks on threads", () => {
  it("give the same results in the same order as without", async () => {
    const folder = newDesk(1);
    // Eight tasks are worth two threads; the first is the longest and ends last.
    const tasks = Array.from({ length: 8 }, (_, k) => {
      const samples = k === 0 ? answer(rate) : pause(0.2 + k / 50, rate);
      return taskOf(writeCapture(join(folder, `${k}.wav`), [samples], rate));
    });
    const done: number[] = [];
    const found = await onThreads(scanning, tasks, (count) => done.push(count));
    expect(found).toEqual(tasks.map((task) => runScanTask(task, () => {})));
    expect(done.at(-1)).toBe(8);
    rmSync(folder, { recursive: true });
  });

  it("go to the same threads while these are kept", async () => {
    const numbers = async () => (await onThreads(numbering, [0], () => {}))[0];
    const apart = [await numbers(), await numbers()];
    const together = await keepingThreads(async () => [await numbers(), await numbers()]);
    expect(together[1]).toBe(together[0]);
    expect(new Set([...apart, ...together]).size).toBe(3);
    expect(await numbers()).not.toBe(together[0]);
  });

  it("refuse as they do without: an error keeps its code and its hint", async () => {
    const folder = newDesk(1);
    const task = taskOf(writeCapture(join(folder, "a.wav"), [pause(0.2, rate)], rate));
    const frames = task.info.frames + 1000;
    const longer: ScanTask = {
      info: { ...task.info, frames },
      stretch: [0, frames],
      whole: [0, frames],
    };
    const error = await onThreads(scanning, [longer], () => {}).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(DeskroundError);
    expect(error).toMatchObject({
      code: "wav-damaged",
      message: expect.stringContaining("the file became shorter while it was read"),
      hint: expect.stringContaining("Stop the recording or the copying first"),
    });
    rmSync(folder, { recursive: true });
  });
});
