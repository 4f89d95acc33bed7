import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { compareWithLastGoodDay } from "../../src/history/last-good-day.js";
import { storeRound } from "../../src/history/store.js";
import type { Round, RoundPath } from "../../src/history/types.js";
import { formatSinceThen } from "../../src/report/sitting/format-since-then.js";
import { type Given, path, round } from "./rounds-of.js";

// Expected: the days and values given here.

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

const noise = (value: number) => ({ noise: { value, unit: "dB", uncertainty: 0.1 } });
const faulty = (value: number): Given => ({
  readings: noise(value),
  oddness: 9,
  findings: [
    {
      reading: "noise",
      against: "siblings",
      value,
      expected: -95,
      deviation: value + 95,
      unit: "dB",
      score: 9,
      severity: "service",
      words: "noise far above its siblings",
    },
  ],
  causes: [
    {
      cause: "noisy-device",
      name: "noisy input device",
      kind: "fault",
      probability: 0.9,
      evidence: [],
      confirmBy: "",
    } as unknown as RoundPath["causes"][number],
  ],
});
const crowd = ["5/mic", "6/mic", "7/mic", "8/mic"].map((name) =>
  path(name, { readings: noise(-95) }),
);
const of = (one: Given) => [path("1/mic", one), ...crowd];

function stored(rounds: readonly Round[]): string {
  const folder = mkdtempSync(join(tmpdir(), "days-"));
  folders.push(folder);
  for (const { id: _, ...rest } of rounds) storeRound(folder, rest);
  return folder;
}

const good = (day: string) => round(day, of({ readings: noise(-95) }));
const bad = (day: string) => round(day, of(faulty(-80)));
const now = (one: Given) => round("2031-03-20", of(one), { partial: { wanted: ["1/mic"] } });

describe("a short round compared with the last good day", () => {
  it("passes over a day on which the path stood out", async () => {
    const folder = stored([good("2031-03-01"), good("2031-03-10"), bad("2031-03-14")]);
    const since = await compareWithLastGoodDay(folder, now({ readings: noise(-95) }));
    expect(since).toMatchObject({ day: "good", comparison: { earlier: { id: "2031-03-10-01" } } });
    expect(since && formatSinceThen(since)).toBe(
      "As on 2031-03-10, the last good day: no significant change on 5 paths.",
    );
  });

  it("says which path changed, by how much and why", async () => {
    const folder = stored([good("2031-03-10")]);
    const since = await compareWithLastGoodDay(folder, now(faulty(-80)));
    expect(since && formatSinceThen(since)).toMatch(
      /^Changed since 2031-03-10, the last good day: 1\/mic has a new fault \(noisy input device, noise \+15\.0 ± [\d.]+ dB\); 4 other paths without a significant change\.$/,
    );
  });

  it("takes the latest day where there is no good one, and calls no fault gone", async () => {
    const folder = stored([bad("2031-03-10")]);
    const since = await compareWithLastGoodDay(folder, now(faulty(-80)));
    expect(since?.day).toBe("latest");
    expect(since && formatSinceThen(since)).toBe(
      "As on 2031-03-10: no significant change on 5 paths; 1/mic (noisy input device) still as faulty as then.",
    );
  });

  it("passes over a path that was not measured this time, and days on which some were missing", async () => {
    const folder = stored([
      good("2031-03-09"),
      // 5/mic was not among them.
      round("2031-03-12", of({ readings: noise(-95) }).slice(0, 4)),
    ]);
    const without = round("2031-03-20", [
      path("1/mic", { readings: noise(-95) }),
      ...crowd,
      path("9/mic", { status: "missing" }),
    ]);
    const since = await compareWithLastGoodDay(folder, without);
    expect(since).toMatchObject({ day: "good", comparison: { earlier: { id: "2031-03-09-01" } } });
    // Of a short round only its own paths count, whatever else was played and stood out then.
    const [, five] = without.paths;
    const short = { ...without, paths: [five], partial: { wanted: [five.path] } };
    const other = stored([good("2031-03-09"), bad("2031-03-12")]);
    expect(await compareWithLastGoodDay(other, short)).toMatchObject({
      day: "good",
      comparison: { earlier: { id: "2031-03-12-01" } },
    });
  });

  it("looks through the last twenty rounds", async () => {
    const days = Array.from({ length: 20 }, (_, k) => `2031-03-${String(k + 1).padStart(2, "0")}`);
    const folder = stored([good("2031-02-01"), ...days.map(bad)]);
    const late = round("2031-03-26", of({ readings: noise(-95) }));
    expect((await compareWithLastGoodDay(folder, late))?.day).toBe("latest");
  });

  it("has nothing to say where the paths were never all measured, nor of its own day", async () => {
    const folder = stored([
      round("2031-03-10", [path("1/mic", { status: "missing" }), ...crowd]),
      good("2031-03-20"),
    ]);
    expect(await compareWithLastGoodDay(folder, now({ readings: noise(-95) }))).toBeUndefined();
  });
});
