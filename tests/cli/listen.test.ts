import { spawn } from "node:child_process";
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { slow } from "../helpers/slow.js";
import { answer, joined, newDesk, pause, writeCapture } from "../jobs/recordings.js";
import { launcher, runAlone, runShell } from "./run.js";

// A sitting as a program of its own, its standard input a pipe. Expected: the recording's own
// construction.

const rate = 44_100;
const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function deskWithEvening(strips: number) {
  const desk = newDesk(strips);
  folders.push(desk);
  const parts = Array.from({ length: strips }, (_, k) => [
    pause(0.5, rate),
    answer(rate, { gain: 0.25, seed: k + 1 }),
  ]);
  const file = writeCapture(join(desk, "eve.wav"), [joined(...parts.flat(), pause(1, rate))], rate);
  return { desk, listen: `listen ${file} --desk ${desk} --date 2021-03-14 --until-complete` };
}

describe("a disk that fills up while somebody listens", () => {
  it("is reported, and once there is space the same command goes on", slow, () => {
    const { desk, listen } = deskWithEvening(7);
    // A limit on the length of files, in kB, stands in for a full disk. What is left alone stands in
    // the journal's head, and leaves room for a few returns.
    for (const k of [1, 2]) writeFileSync(join(desk, `${"notes-".repeat(30)}${k}.txt`), "");
    const full = runShell(`ulimit -f 1; deskround ${listen} < /dev/null`);
    expect(full.code).toBe(2);
    expect(full.err).toMatch(/Cannot write \S+2021-03-14-01\.jsonl: /);
    expect(full.err).toContain("the recording itself is not touched");
    expect(existsSync(join(desk, "sittings", "listening.pid"))).toBe(false);
    const { out } = runShell(`deskround ${listen} < /dev/null`);
    expect(out).toContain("Sitting 2021-03-14-01 resumes");
    expect(out).toContain("7 of 7 paths measured");
    expect(readdirSync(join(desk, "rounds")).filter((name) => /json$/.test(name))).toEqual([
      "2021-03-14-01.json",
    ]);
  });
});

describe("two that listen at one desk", () => {
  it("is refused to the second, with the reason, and allowed after a kill", async () => {
    const { desk } = deskWithEvening(2);
    const words = ["listen", join(desk, "other.wav"), "--desk", desk];
    const first = spawn(process.execPath, [launcher, ...words], {
      stdio: ["pipe", "pipe", "ignore"],
    });
    await new Promise((resolve) => first.stdout.once("data", resolve));
    const second = runAlone(...words);
    expect(second.code).toBe(2);
    expect(second.err).toContain(
      `Another deskround (process ${first.pid}) is already listening for this desk.`,
    );
    const gone = new Promise((resolve) => first.once("close", resolve));
    first.kill("SIGKILL");
    await gone;
    expect(readFileSync(join(desk, "sittings", "listening.pid"), "utf8")).toBe(`${first.pid}\n`);
    const { out } = runShell(`echo leave | deskround ${words.join(" ")}`);
    expect(out).toContain("resumes, with 0 returns so far");
  });
});
