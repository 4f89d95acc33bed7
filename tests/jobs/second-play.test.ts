import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { analyze } from "../../src/jobs/analyze.js";
import { plan } from "../../src/jobs/plan.js";
import { analyzeSecondPlay } from "../../src/jobs/second-play.js";
import { showRound } from "../../src/jobs/show.js";
import { renderSecondPlays } from "../../src/report/second-play.js";
import { readNotebook } from "../../src/service/notebook/read.js";
import { answer, newDesk, writeCapture } from "./recordings.js";

// Expected values: the recordings' own construction. One of six strips is 3 dB low; recorded again
// with its controls at the marks it is as the others.

const rate = 48_000;
const folder = newDesk(6);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let count = 0;
function named(name: string, gain: number): string {
  const own = join(folder, `f${count++}`);
  mkdirSync(own);
  const samples = answer(rate, { gain, seed: count });
  return writeCapture(join(own, name), [samples], rate, "float32");
}

const request = { desk: folder, silent: [], date: "2031-03-14" } as const;
const only = ["3/mic"];

beforeAll(async () => {
  const gains = [1, 1.005, 0.7, 0.995, 1.01, 0.99];
  const captures = gains.map((gain, k) => named(`0${k + 1}-mic.wav`, gain));
  await analyze({ ...request, captures, keep: "store" }, () => {});
});

const shown = async () =>
  (await showRound({ desk: folder, words: ["3/mic"], from: "rounds" })).path;

describe("a second play with something turned", () => {
  it("is asked for by show and plan, as data and in words", async () => {
    const path = await shown();
    expect(path?.causes[0]).toMatchObject({ cause: "gain-off" });
    expect(path?.next).toMatchObject({ check: "marks", setting: "marks", power: "in use" });
    const { outside } = (await plan({ desk: folder, date: "2031-03-14" })).plan;
    expect(outside.map(({ place }) => place)).toContain("3/mic");
  });

  it("shows without keeping anything where that is asked for", async () => {
    const captures = [named("3-mic.wav", 1)];
    const asked = { ...request, captures, only, setting: "marks", keep: "preview" } as const;
    const { plays } = await analyzeSecondPlay(asked, () => {});
    expect(plays[0]).toMatchObject({ path: "3/mic", check: "marks", outcome: "gone" });
    expect(plays[0].note).toBeUndefined();
    expect(readNotebook(folder).entries).toEqual([]);
  });

  it("tells nothing where half of it is left, and notes nothing then", async () => {
    const captures = [named("3-mic.wav", 0.84)];
    const asked = { ...request, captures, only, setting: "marks", keep: "store" } as const;
    const { plays } = await analyzeSecondPlay(asked, () => {});
    expect(plays[0].outcome).toBe("unclear");
    expect(readNotebook(folder).entries).toEqual([]);
  });

  it("enters the diagnosis by the notebook, and makes no round", async () => {
    const captures = [named("3-mic.wav", 1)];
    const asked = { ...request, captures, only, setting: "marks", keep: "store" } as const;
    const result = await analyzeSecondPlay(asked, () => {});
    expect(result).toMatchObject({
      against: "2031-03-14-01",
      plays: [{ path: "3/mic", outcome: "gone", note: "n1" }],
    });
    const text = renderSecondPlays(result, { width: 80, colour: "none" });
    expect(text).toContain("3/mic, marks against round 2031-03-14-01: what stood out is gone.");
    expect(text).toContain("Noted as n1.");
    const path = await shown();
    expect(path?.causes[0].evidence.join()).toContain("n1: marks");
    // Done is done: it is not asked for again.
    expect(path?.next?.check).not.toBe("marks");
    await expect(
      showRound({ desk: folder, words: ["2031-03-14-02"], from: "rounds" }),
    ).rejects.toThrow();
  });

  it("is refused where it is not said what was turned, or on which path, or nothing is odd", async () => {
    const captures = [named("3-mic.wav", 1)];
    const base = { ...request, captures, keep: "preview" } as const;
    const tried = (more: object) =>
      analyzeSecondPlay({ ...base, only, setting: "marks", ...more }, () => {});
    await expect(tried({ setting: "lowcut" })).rejects.toThrow(/not a setting that a second play/);
    const { only: _, ...noPath } = { only, ...base };
    await expect(analyzeSecondPlay({ ...noPath, setting: "marks" }, () => {})).rejects.toThrow(
      /Which path/,
    );
    const fine = [named("2-mic.wav", 1)];
    await expect(tried({ captures: fine, only: ["2/mic"] })).rejects.toThrow(/Nothing stands out/);
  });
});
