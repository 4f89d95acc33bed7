import { rmSync } from "node:fs";
import { join } from "node:path";
import { threadId } from "node:worker_threads";
import { describe, expect, it } from "vitest";
import { runScanTask, type ScanTask } from "../../src/analysis/read/scan-task.js";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { answer, newDesk, pause, writeCapture } from "../jobs/recordings.js";

/** As built, since a thread needs compiled modules. */
const built = new URL("../../dist/", import.meta.url);
const scanning = { module: new URL("analysis/read/scan-task.js", built), run: runScanTask };
const { withThreadPool, runOnThreads }: typeof import("../../src/threads/thread-pool.js") =
  await import(new URL("threads/thread-pool.js", built).href);
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
  const info = inspectRecording(file);
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
    const found = await runOnThreads(scanning, tasks, (count) => done.push(count));
    const alone = await Promise.all(tasks.map((task) => runScanTask(task, () => {})));
    expect(found).toEqual(alone);
    expect(done.at(-1)).toBe(8);
    rmSync(folder, { recursive: true });
  });

  it("go to the same threads while these are kept", async () => {
    const numbers = async () => (await runOnThreads(numbering, [0], () => {}))[0];
    const apart = [await numbers(), await numbers()];
    const together = await withThreadPool(async () => [await numbers(), await numbers()]);
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
    const error = await runOnThreads(scanning, [longer], () => {}).catch(
      (thrown: unknown) => thrown,
    );
    expect(error).toBeInstanceOf(DeskroundError);
    expect(error).toMatchObject({
      code: "recording-damaged",
      message: expect.stringContaining("the file became shorter while it was read"),
      hint: expect.stringContaining("Stop the recording or the copying first"),
    });
    rmSync(folder, { recursive: true });
  });
});
