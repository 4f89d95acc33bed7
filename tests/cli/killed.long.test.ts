import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { afterAll, describe, expect, it } from "vitest";
import { readRound } from "../../src/history/store.js";
import { answer, newDesk, writeCapture } from "../jobs/recordings.js";
import { run, runAlone, start } from "./run.js";

const rate = 48_000;
const shelf = mkdtempSync(join(tmpdir(), "captures-"));
const desk = newDesk(1);
afterAll(() => {
  for (const folder of [shelf, desk]) rmSync(folder, { recursive: true, force: true });
});
const good = writeCapture(join(shelf, "good.wav"), [answer(rate, { gain: 0.9 })], rate);

describe("a program that is killed", () => {
  it("at any of 20 moments leaves whole rounds only, and earlier ones as they were", async () => {
    const from = performance.now();
    expect(runAlone("analyze", "--desk", desk, good).code).toBe(0);
    const took = performance.now() - from;
    const rounds = join(desk, "rounds");
    const [first] = readdirSync(rounds);
    const earlier = readFileSync(join(rounds, first), "utf8");
    const kill = async (share: number) => {
      const program = start("analyze", "--desk", desk, good);
      const ended = new Promise((done) => program.once("close", done));
      await wait(took * share);
      program.kill("SIGKILL");
      await ended;
    };
    // Two at a time, which also store at once; most of them late, where the round is written.
    for (let pair = 0; pair < 10; pair++) {
      const share = 0.2 + 1.1 * Math.sqrt(pair / 9);
      await Promise.all([kill(share), kill(share + 0.05)]);
    }
    const names = readdirSync(rounds).filter((name) => !name.startsWith("."));
    for (const name of names) {
      const round = await readRound(desk, name.replace(".json", ""));
      expect(round.paths[0].status).toBe("measured");
    }
    expect(readFileSync(join(rounds, first), "utf8")).toBe(earlier);
    const listed = JSON.parse(run("show", "--list", "--json", "--desk", desk).out);
    expect(listed).toHaveLength(names.length);
  });
});
