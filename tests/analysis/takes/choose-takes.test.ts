import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { type AnalyzeRequest, analyze } from "../../../src/jobs/analyze.js";
import { renderPathReport } from "../../../src/report/round.js";
import { answer, joined, newDesk, pause, without, writeCapture } from "../../jobs/recordings.js";

// Expected values: the recordings' own construction (tests/jobs/recordings.ts).

const rate = 48_000;
const folder = newDesk(3);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let count = 0;
function named(name: string, samples: Float64Array): string {
  const own = join(folder, `f${count++}`);
  mkdirSync(own);
  return writeCapture(join(own, name), [samples], rate, "float32");
}

function preview(captures: readonly string[], more: Partial<AnalyzeRequest> = {}): Promise<Round> {
  return analyze({ desk: folder, captures, silent: [], keep: "preview", ...more }, () => {});
}

function pathOf(round: Round, name: string): RoundPath {
  const found = round.paths.find(({ path }) => path === name);
  if (found === undefined) throw new Error(`no path ${name}`);
  return found;
}

const gainDb = (gain: number) => 20 * Math.log10(gain);
const first = answer(rate, { gain: 0.9, seed: 1 });
const second = answer(rate, { gain: 0.8, seed: 2 });
const clipped = answer(rate, { gain: 4, seed: 3 }).map((x) => Math.max(-1, Math.min(1, x)));
const torn = without(second, 3, 3 + 300 / rate, rate);

describe("a path recorded again", () => {
  it("counts by its latest take; the other one's readings are kept", async () => {
    const files = [named("01-mic.wav", first), named("01-mic take 2.wav", second)];
    const path = pathOf(await preview(files), "1/mic");
    expect(path.readings.gain.value).toBeCloseTo(gainDb(0.8), 3);
    expect(path.take).toMatchObject({ file: files[1], number: 2, chosen: "latest" });
    expect(path.otherTakes).toHaveLength(1);
    expect(path.otherTakes?.[0]).toMatchObject({ file: files[0], number: 1, status: "measured" });
    expect(path.otherTakes?.[0].readings.gain.value).toBeCloseTo(gainDb(0.9), 3);
  });

  it("counts by an earlier take where the converter clipped in the later one", async () => {
    const files = [named("01-mic.wav", first), named("01-mic take 2.wav", clipped)];
    const round = await preview(files);
    const path = pathOf(round, "1/mic");
    expect(path.readings.gain.value).toBeCloseTo(gainDb(0.9), 3);
    expect(path.take).toMatchObject({ number: 1, chosen: "health" });
    expect(path.otherTakes?.[0].reason).toBe("the converter clipped in it");
    expect(round.warnings).toEqual([
      `1/mic: was recorded 2 times; the one in ${files[0]} counts, because take 2 is worse: the converter clipped in it.`,
    ]);
  });

  it("counts by an earlier take where the recorder lost samples in the later one", async () => {
    const file = named("01-mic.wav", joined(first, torn));
    const path = pathOf(await preview([file]), "1/mic");
    expect(path).toMatchObject({ status: "measured", take: { number: 1, chosen: "health" } });
    expect(path.otherTakes?.[0]).toMatchObject({ number: 2, status: "unusable", readings: {} });
    expect(path.otherTakes?.[0].reason).toMatch(/^the recorder lost about 300 samples/);
  });

  it("counts by the latest take of equal health, whatever lies between", async () => {
    const file = named("01-mic.wav", joined(first, torn, second, torn));
    const path = pathOf(await preview([file]), "1/mic");
    expect(path.take).toMatchObject({ number: 3, chosen: "health" });
    expect(path.otherTakes?.map(({ number }) => number)).toEqual([1, 2, 4]);
  });

  it("counts by the take that was asked for", async () => {
    const files = [named("01-mic.wav", first), named("01-mic take 2.wav", second)];
    const round = await preview(files, { takes: ["1/MIC=1"] });
    const path = pathOf(round, "1/mic");
    expect(path.readings.gain.value).toBeCloseTo(gainDb(0.9), 3);
    expect(path.take).toMatchObject({ number: 1, chosen: "asked" });
    expect(round.warnings).toEqual([expect.stringMatching(/ counts, as asked\.$/)]);
  });

  it("has no number where it was recorded once", async () => {
    const path = pathOf(await preview([named("01-mic.wav", first)]), "1/mic");
    expect(path.take).not.toHaveProperty("number");
    expect(path.take).not.toHaveProperty("chosen");
    expect(path).not.toHaveProperty("otherTakes");
  });

  it("is healthier with a return than with a recording of nothing", async () => {
    const files = [named("01-mic.wav", first), named("01-mic take 2.wav", pause(3, rate))];
    const round = await preview(files);
    expect(pathOf(round, "1/mic").readings.gain.value).toBeCloseTo(gainDb(0.9), 3);
    expect(round.warnings).toEqual([
      expect.stringMatching(/01-mic take 2\.wav: no return was found; what was heard is silence/),
    ]);
  });
});

describe("a cut return whose path was recorded elsewhere too", () => {
  const cut = first.subarray(rate);
  const third = answer(rate, { gain: 0.7, seed: 4 });
  const ends = /^.* the return that ends at 4\.0 s has no start and was left out\. (By .*)$/;
  const told = (round: Round) => round.warnings.map((words) => ends.exec(words)?.[1] ?? words);

  it("is reported where it stands in a list by its order", async () => {
    const again = named("Kanal 1 MIC Übung (2).wav", first);
    const last = named("3 mic.wav", answer(rate, { gain: 0.6, seed: 5 }));
    const round = await preview([named("mic.wav", joined(cut, second, third)), again, last]);
    expect(pathOf(round, "1/mic").take?.file).toBe(again);
    expect(pathOf(round, "2/mic").readings.gain.value).toBeCloseTo(gainDb(0.8), 3);
    expect(told(round)).toEqual([
      `By the order it is a return of 1/mic, of which ${again} holds a whole one; if it is another path's, say with --map which is which.`,
      `3/mic: was recorded 2 times; the one in ${last} counts.`,
    ]);
  });

  it("is reported where its own name or the map says the path", async () => {
    const list = named("mic.wav", joined(first, second, third));
    const [warning] = told(await preview([named("strip 01 mic.wav", cut), list]));
    expect(warning).toMatch(/^By its name it is a return of 1\/mic, of which .*mic\.wav holds/);
    const map = "1/mic,1/mic,2/mic,3/mic";
    const [mapped] = told(await preview([named("evening.wav", cut), list], { map }));
    expect(mapped).toMatch(/^By the map it is a return of 1\/mic, of which .*mic\.wav holds/);
  });

  it("is reported where a path that was not recorded elsewhere gets it by its order", async () => {
    const list = named("mic.wav", joined(cut, second, third));
    const round = await preview([list]);
    expect(round.warnings).toEqual([
      expect.stringMatching(/ has no start\. By the order it is the return of 1\/mic; if /),
    ]);
    expect(pathOf(round, "1/mic").status).toBe("unusable");
  });
});

describe("a take that is asked for", () => {
  const file = named("01-mic.wav", first);
  it.each([
    ["1/mic=2", "--take 1/mic=2: 1/mic has only one take."],
    ["2/mic=1", "--take 2/mic=1: no return of 2/mic was found."],
    ["9/mic=1", '--take: Path 9/mic: this desk has no strip "9".'],
    ["1/mic", "--take 1/mic: a take is written path=number, counted from 1."],
    ["1/mic=0", "--take 1/mic=0: a take is written path=number, counted from 1."],
  ])("as %s is refused where it makes no sense", async (text, message) => {
    await expect(preview([file], { takes: [text] })).rejects.toMatchObject({
      code: "usage",
      message,
    });
  });
});

describe("a path's page", () => {
  it("reports its takes and where they differ", async () => {
    const files = [named("01-mic.wav", first), named("01-mic take 2.wav", second)];
    const round = await preview(files);
    const text = renderPathReport(round, pathOf(round, "1/mic"), { width: 80, colour: "none" });
    expect(text).toMatch(/^TAKES$/m);
    expect(text).toMatch(/^ {2}1 {2}.*01-mic\.wav: measured too$/m);
    expect(text).toMatch(/counts, as the latest$/m);
    // 0.9 against 0.8 are 1.02 dB.
    expect(text).toMatch(/^gain +−1\.9\d* ± .* \+1\.02\d* dB$/m);
  });
});
