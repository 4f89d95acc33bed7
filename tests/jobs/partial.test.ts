import { mkdirSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { parseWantedPaths } from "../../src/analysis/place/wanted-paths.js";
import { readRound } from "../../src/history/store.js";
import type { Round } from "../../src/history/types.js";
import { type AnalyzeRequest, analyze } from "../../src/jobs/analyze.js";
import { listRoundSummaries } from "../../src/jobs/show.js";
import { renderRound } from "../../src/report/round.js";
import { desk, numbered } from "../capture/desks.js";
import { answer, joined, newDesk, writeCapture } from "./recordings.js";

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

/** Path and the strip whose answer it got. */
function got({ paths }: Round): Record<string, string> {
  return Object.fromEntries(
    paths.map(({ path, status, readings: { gain } }) => [
      path,
      gain === undefined ? status : String(Math.round(10 * (1 - 10 ** (gain.value / 20)))),
    ]),
  );
}

const [one, two, three] = [1, 2, 3].map((k) => answer(rate, { gain: 1 - k / 10, seed: k }));

describe("a partial round", () => {
  it("holds only the paths asked for, and says so", async () => {
    const round = await preview([named("again.wav", joined(two, three))], { only: ["2", "3/mic"] });
    expect(got(round)).toEqual({ "2/mic": "2", "3/mic": "3" });
    expect(round.partial).toEqual({ wanted: ["2/mic", "3/mic"] });
    expect(round.warnings).toEqual([]);
    const text = renderRound(round, { width: 80, colour: "none" });
    expect(text).toContain("A partial round: only 2/mic, 3/mic were asked for.");
  });

  it("takes several returns for one path as its takes", async () => {
    const round = await preview([named("again.wav", joined(one, two))], { only: ["3"] });
    expect(got(round)).toEqual({ "3/mic": "2" });
    expect(round.paths[0].otherTakes).toHaveLength(1);
  });

  it("goes by the names of files, and leaves aside those of other paths", async () => {
    const files = [named("01-mic.wav", one), named("02-mic.wav", two)];
    const round = await preview(files, { only: ["2/mic"] });
    expect(got(round)).toEqual({ "2/mic": "2" });
    expect(round.warnings).toEqual([`${files[0]}: is named for 1/mic, which was not asked for.`]);
  });

  it("picks from a recording of the whole desk", async () => {
    const round = await preview([named("mic.wav", joined(one, two, three))], { only: ["2"] });
    expect(got(round)).toEqual({ "2/mic": "2" });
    expect(round.warnings).toEqual([
      expect.stringMatching(/3 returns for 1 path asked for; taken as 1\/mic to 3\/mic in order/),
    ]);
  });

  it("counts a path asked for without a return as missing", async () => {
    const round = await preview([named("again.wav", one)], { only: ["1", "2"] });
    expect(got(round)).toEqual({ "1/mic": "1", "2/mic": "missing" });
  });

  it("goes by the map", async () => {
    const file = named("again.wav", joined(one, three));
    const round = await preview([file], { only: ["1", "3"], map: "3/mic,1/mic" });
    expect(got(round)).toEqual({ "1/mic": "3", "3/mic": "1" });
  });

  it("is stored as a round of its own and listed as partial", async () => {
    const file = named("again.wav", joined(two));
    const request = { desk: folder, captures: [file], silent: [], only: ["2"] };
    const { id } = await analyze({ ...request, keep: "store", date: "2031-03-14" }, () => {});
    expect((await readRound(folder, id)).partial).toEqual({ wanted: ["2/mic"] });
    expect((await listRoundSummaries(folder)).rounds).toMatchObject([
      { id, measured: 1, paths: 1, partial: true },
    ]);
    expect(readdirSync(join(folder, "rounds"))).toEqual([".index", `${id}.json`]);
  });
});

describe("the strips and paths asked for", () => {
  const paths = desk(numbered(12), ["mic", "line"]);
  const names = (...texts: string[]) => parseWantedPaths(texts, paths).map(({ path }) => path);

  it("may be strips, ranges of them, paths and inputs, in run-sheet order", () => {
    expect(names("7")).toEqual(["7/mic", "7/line"]);
    expect(names("9/LINE", "2/mic")).toEqual(["2/mic", "9/line"]);
    expect(names("3-5", "4/mic")).toEqual([
      "3/mic",
      "4/mic",
      "5/mic",
      "3/line",
      "4/line",
      "5/line",
    ]);
    expect(names("Line")).toHaveLength(12);
  });

  it.each([
    ["13", '--only: This desk has no strip "13".'],
    ["11-13", '--only: This desk has no strip "13".'],
    ["7/tape", '--only: Path 7/tape: this desk has no input "tape".'],
  ])("are refused as %s on a desk that has not got it", (text, message) => {
    expect(() => names(text)).toThrow(message);
  });
});
