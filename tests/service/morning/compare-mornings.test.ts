import { describe, expect, it } from "vitest";
import type { MorningEntry } from "../../../src/history/morning-log.js";
import { formatMorningSentence } from "../../../src/report/morning.js";
import { compareMornings } from "../../../src/service/morning/compare-mornings.js";

// Expected values: differences of the figures below.

type Figures = Readonly<Record<string, number>>;

const entry = (
  date: string,
  paths: Readonly<Record<string, Figures>>,
  more: Partial<MorningEntry> = {},
): MorningEntry => ({
  date,
  verdict: "good",
  unit: "dBFS",
  signal: "quick-48000",
  sentence: "",
  paths,
  ...more,
});

const sound = { level: -18, gain: 0, hiss: -92, hum: -88, polarity: 1 };
const four = (change: Readonly<Record<string, Partial<typeof sound>>> = {}) =>
  Object.fromEntries(
    ["1/tape", "2/tape", "3/tape", "4/tape"].map((path) => [path, { ...sound, ...change[path] }]),
  );

const good = entry("2031-03-10", four());
const say = (now: MorningEntry, earlier: readonly MorningEntry[] = [good]) =>
  formatMorningSentence(compareMornings(now, earlier), Object.keys(now.paths).length);

describe("mornings", () => {
  it("are compared with the last good one of the same signal and unit", () => {
    const now = entry("2031-03-14", four());
    const changed = entry("2031-03-12", four({ "1/tape": { level: -30 } }), { verdict: "changed" });
    const other = entry("2031-03-13", four(), { signal: "standard-96000" });
    const calibrated = entry("2031-03-13", four(), { unit: "dBu" });
    expect(compareMornings(now, [good, changed, other, calibrated]).against).toBe("2031-03-10");
    expect(say(now)).toBe("All 4 wired paths are as on 2031-03-10.");
    expect(say(now, [])).toMatch(/^First good day: 4 wired paths/);
  });

  it("name the path, its worst reading first", () => {
    const now = entry("2031-03-14", four({ "2/tape": { level: -20, gain: -2, hum: -60 } }));
    expect(say(now)).toBe("Not as on 2031-03-10: 2/tape hum 28 dB up and 1 more reading.");
  });

  it("see a response that fell, by its largest change", () => {
    const flat = { "response@56": 0, "response@5000": 0, "response@10000": 0, "response@16000": 0 };
    const before = entry("2031-03-10", { "1/tape": { ...sound, ...flat }, "2/tape": sound });
    const dull = { "response@5000": -2.3, "response@10000": -5.8, "response@16000": -9.1 };
    const now = entry("2031-03-14", { "1/tape": { ...sound, ...flat, ...dull }, "2/tape": sound });
    expect(say(now, [before])).toBe("Not as on 2031-03-10: 1/tape response at 16 kHz 9.1 dB down.");
    // Rises are no better than falls, and less than a decibel is of no concern.
    const up = { ...sound, ...flat, "response@56": 3, "response@10000": 0.9 };
    expect(say(entry("2031-03-14", { "1/tape": up, "2/tape": sound }), [before])).toBe(
      "Not as on 2031-03-10: 1/tape response at 56 Hz 3.0 dB up.",
    );
    // A day of an older version has no response to compare with.
    expect(say(now)).not.toContain("response");
  });

  it("do not call quieter hum a change, nor a difference of no concern", () => {
    const now = entry("2031-03-14", four({ "2/tape": { hum: -100 }, "3/tape": { level: -18.1 } }));
    expect(say(now)).toBe("All 4 wired paths are as on 2031-03-10.");
  });

  it("do not call silent what was not measured for a fault of patch or recording", () => {
    const lost = { unmeasured: ["2/tape"] };
    const paths = { ...four(), "2/tape": {} };
    expect(say(entry("2031-03-14", paths, lost))).toBe(
      "2/tape was not measured (patch or recording); the other 3 wired paths are as on 2031-03-10.",
    );
    expect(say(entry("2031-03-14", { ...paths, "3/tape": {} }, lost))).toMatch(
      /^Not as on 2031-03-10: 3\/tape gives nothing back .*; 2\/tape not measured/,
    );
    expect(say(entry("2031-03-14", paths, lost), [])).toBe(
      "2/tape was not measured (patch or recording).",
    );
  });

  it("count mains lines where hiss does not drown them, and only louder ones", () => {
    // Hiss is at -92: odd lines are drowned below -102, even ones below -110 (`floorHum`). 6 dB is
    // twice the voltage.
    const quiet = { humOdd: -116, humEven: -128 };
    const before = entry("2031-03-10", { "1/tape": { ...sound, ...quiet, hum: -115 } });
    const at = (lines: Readonly<Record<string, number>>) =>
      say(entry("2031-03-14", { "1/tape": { ...sound, ...quiet, hum: -115, ...lines } }), [before]);
    expect(at({ hum: -103, humOdd: -103, humEven: -113 })).toMatch(/^The wired path is as/);
    expect(at({ hum: -130, humOdd: -130, humEven: -140 })).toMatch(/^The wired path is as/);
    expect(at({ humEven: -100 })).toMatch(/1\/tape hum, even lines/);
    const loud = entry("2031-03-10", { "1/tape": sound });
    const now = (hum: number) => say(entry("2031-03-14", { "1/tape": { ...sound, hum } }), [loud]);
    expect(now(-83)).toMatch(/^The wired path is as/);
    expect(now(-81)).toMatch(/1\/tape hum 6\.\d dB up/);
  });

  it("name what paths share where all are off alike, and not where one is off more", () => {
    const all = Object.fromEntries(
      Object.keys(four()).map((path) => [path, { level: -21, gain: -3 }]),
    );
    expect(say(entry("2031-03-14", four(all)))).toMatch(
      /^Not as on 2031-03-10: all 4 paths alike, level 3\.0 dB down \(what they share/,
    );
    const one = { ...all, "4/tape": { level: -30, gain: -12 } };
    expect(say(entry("2031-03-14", four(one)))).toMatch(/: 4\/tape level 12 dB down/);
  });

  it("say that a path gives nothing back before all else, and when it is back", () => {
    const silent = { ...four({ "1/tape": { hum: -40 } }), "3/tape": {} };
    expect(say(entry("2031-03-14", silent))).toMatch(
      /: 3\/tape gives nothing back .*; 1\/tape hum/,
    );
    const before = entry("2031-03-10", { ...four(), "3/tape": {} });
    expect(say(entry("2031-03-14", four()), [before])).toMatch(/3\/tape is back/);
    const none = Object.fromEntries(Object.keys(four()).map((path) => [path, {}]));
    expect(say(entry("2031-03-14", none))).toMatch(/^Nothing came back from any wired path/);
  });

  it("compare what strips gave together as a sum", () => {
    const sums = (hiss: number) => ({ sums: { "1/tape,2/tape": { hiss } } });
    const before = entry("2031-03-10", four(), sums(-89));
    const now = entry("2031-03-14", four(), sums(-80));
    expect(say(now, [before])).toMatch(
      /1\/tape to 2\/tape together noise without mains.* 9\.0 dB up|1\/tape to 2\/tape together .* 9\.0 dB up/,
    );
  });

  it("judge each side of a stereo bus", () => {
    const names = Object.keys(four());
    const sides = new Map(names.map((path) => [`${path}, right side`, "right"] as const));
    const both = (right: (path: string) => Figures) => ({
      ...four(),
      ...Object.fromEntries(names.map((path) => [`${path}, right side`, right(path)])),
    });
    const before = entry(
      "2031-03-10",
      both(() => sound),
    );
    const judge = (right: (path: string) => Figures) =>
      formatMorningSentence(compareMornings(entry("2031-03-14", both(right)), [before], sides), 4);
    expect(judge(() => sound)).toBe("All 4 wired paths are as on 2031-03-10.");
    expect(judge((path) => (path === "3/tape" ? { ...sound, hum: -70 } : sound))).toBe(
      "Not as on 2031-03-10: 3/tape, right side hum 18 dB up.",
    );
    expect(judge(() => ({ ...sound, level: -20 }))).toMatch(
      /: the right side of all 4 paths alike, level 2\.0 dB down/,
    );
    expect(judge(() => ({}))).toMatch(
      /^Not as on 2031-03-10: the right side gives nothing back on any of 4 paths/,
    );
    expect(judge((path) => (path === "2/tape" ? {} : sound))).toBe(
      "Not as on 2031-03-10: 2/tape, right side gives nothing back (strip, cable or output).",
    );
  });

  it("take a name with a comma for one path, and know the ends of what was heard together", () => {
    const names = { "1, old/tape": sound, "2, old/tape": sound, "3, old/tape": sound };
    const all = Object.fromEntries(
      Object.keys(names).map((path) => [path, { ...sound, level: -21 }]),
    );
    const sums = (hiss: number) => ({ sums: { "1, old/tape,2, old/tape": { hiss } } });
    const before = entry("2031-03-10", names, sums(-89));
    expect(say(entry("2031-03-14", all, sums(-89)), [before])).toMatch(
      /: all 3 paths alike, level/,
    );
    expect(say(entry("2031-03-14", names, sums(-80)), [before])).toMatch(
      /: 1, old\/tape to 2, old\/tape together noise|: 1, old\/tape to 2, old\/tape together hiss/,
    );
  });
});

it("what several paths give together is reported by the whole names of its ends, commas and all", () => {
  const names = ["7/a", "7/a,b", "8/mic"];
  const paths = Object.fromEntries(names.map((name) => [name, sound]));
  const sums = (level: number) => ({ "7/a,b,8/mic": { ...sound, level } });
  const then = entry("2031-03-10", paths, { sums: sums(-18) });
  const now = entry("2031-03-14", paths, { sums: sums(-30) });
  expect(compareMornings(now, [then]).changes).toMatchObject([{ path: "7/a,b", last: "8/mic" }]);
});
