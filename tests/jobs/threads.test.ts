import { rmSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { inspectWav } from "../../src/capture/wav.js";
import { DeskroundError } from "../../src/errors.js";
import { type FindTask, runFindTask } from "../../src/jobs/find-task.js";
import { onThreads } from "../../src/jobs/threads.js";
import { answer, newDesk, pause, writeCapture } from "./recordings.js";

/** The module as built, since a thread needs a compiled one. */
const finding = {
  script: new URL("../../dist/jobs/find-worker.js", import.meta.url),
  run: runFindTask,
};
const rate = 48_000;

function taskOf(file: string): FindTask {
  return { info: inspectWav(file), scope: { channels: "sides" } };
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
    const found = await onThreads(finding, tasks, (count) => done.push(count));
    expect(found).toEqual(tasks.map((task) => runFindTask(task, () => {})));
    expect(done.at(-1)).toBe(8);
    rmSync(folder, { recursive: true });
  });

  it("refuse as they do without: an error keeps its code and its hint", async () => {
    const folder = newDesk(1);
    const task = taskOf(writeCapture(join(folder, "a.wav"), [pause(0.2, rate)], rate));
    const longer = { ...task, info: { ...task.info, frames: task.info.frames + 1000 } };
    const error = await onThreads(finding, [longer], () => {}).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(DeskroundError);
    expect(error).toMatchObject({
      code: "wav-damaged",
      message: expect.stringContaining("the file became shorter while it was read"),
      hint: expect.stringContaining("Stop the recording or the copying first"),
    });
    rmSync(folder, { recursive: true });
  });
});
