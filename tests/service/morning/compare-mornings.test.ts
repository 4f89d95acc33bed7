import { describe, expect, it } from "vitest";
import type { MorningEntry } from "../../../src/history/morning-log.js";
import { formatMorningSentence } from "../../../src/report/morning.js";
import {
  compareMornings,
  type MorningChange,
} from "../../../src/service/morning/compare-mornings.js";

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
      /^Not as on 2031-03-10: all 4 paths, level 3\.0 dB down \(what they share/,
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
      /: the right side of all 4 paths, level 2\.0 dB down/,
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
    expect(say(entry("2031-03-14", all, sums(-89)), [before])).toMatch(/: all 3 paths, level/);
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

describe("the changes of a morning, as data", () => {
  // Level and gain: 0.7 dB are of no concern; hum 6 dB, noise 2 dB, a sum 2 dB at least; what is not
  // known to the readings 1 (the readings' own facets, and the rules beside the code).
  const one = (own: Figures, before: Figures) =>
    compareMornings(entry("2031-03-14", { "1/tape": own }), [
      entry("2031-03-10", { "1/tape": before }),
    ]).changes;
  const nameChange = (change: MorningChange) =>
    "path" in change ? `${change.kind} ${change.path}` : change.kind;
  const timesOf = (reading: string, was: number, is: number) =>
    one({ [reading]: is }, { [reading]: was }).map((change) => "times" in change && change.times);

  it.each([
    ["gain", 0, 0.7, []],
    ["gain", 0, 0.71, [0.71 / 0.7]],
    ["gain", 0, -0.7, []],
    ["gain", 0, -1.4, [2]],
    ["level", 0, 1.4, [2]],
    ["level", 0, -1.4, [2]],
    // Louder alone is a fault of noise and hum.
    ["hiss", -92, -90, []],
    ["hiss", -92, -88, [2]],
    ["hiss", -92, -99, []],
    ["hum", -90, -84, []],
    ["hum", -90, -78, [2]],
    ["hum", -90, -102, []],
    // Less headroom alone is a fault; a corner either way, by one in its unit (`usualLeast`).
    ["headroom", 20, 19, []],
    ["headroom", 20, 18, [2]],
    ["headroom", 20, 23, []],
    ["headroom", 20, 20, []],
    ["cornerLow", 4, 7, [3]],
    ["cornerLow", 4, 1, [3]],
    ["cornerLow", 4, 5, []],
    ["of-tomorrow", 0, 1, []],
    ["of-tomorrow", 0, 3, [3]],
    ["of-tomorrow", 0, -3, [3]],
  ] as const)("%s from %d to %d weighs %j", (reading, was, is, times) => {
    expect(timesOf(reading, was, is)).toStrictEqual(
      times.map((weight) => expect.closeTo(weight, 9)),
    );
  });

  it("are none of a reading that one of both days has not", () => {
    expect(one({ level: -30 }, { gain: 0 })).toStrictEqual([]);
  });

  it("count mains lines above what hiss hides on the good day alone", () => {
    // Odd lines are lost 10 dB below hiss: −102 under −92, so that −98 dB is 5.5 dB above −130 dB.
    const changed = (now: number, hiss: number, was = hiss) =>
      one({ hum: now, hiss }, { hum: -130, hiss: was }).length;
    expect(changed(-98, -92)).toBe(0);
    expect(changed(-95, -92)).toBe(1);
    expect(changed(-98, -120)).toBe(1);
    expect(changed(-98, -120, -92)).toBe(0);
  });

  it("name what gives nothing back, what is back, and what cannot be compared", () => {
    const kinds = (now: Readonly<Record<string, Figures>>, more: Partial<MorningEntry> = {}) => {
      const { changes, compared } = compareMornings(entry("2031-03-14", now, more), [
        entry("2031-03-10", { "1/tape": sound, "2/tape": {}, "3/tape": sound }),
      ]);
      return [changes.map(nameChange), compared];
    };
    expect(kinds({ "1/tape": sound, "2/tape": {}, "3/tape": sound })).toStrictEqual([[], 3]);
    expect(kinds({ "1/tape": {} })).toStrictEqual([["silent 1/tape"], 1]);
    expect(kinds({ "2/tape": sound })).toStrictEqual([["back 2/tape"], 1]);
    expect(kinds({ "9/tape": sound })).toStrictEqual([[], 0]);
    expect(kinds({ "9/tape": {} })).toStrictEqual([["silent 9/tape"], 0]);
    expect(kinds({ "1/tape": {} }, { unmeasured: ["1/tape"] })).toStrictEqual([
      ["unmeasured 1/tape"],
      0,
    ]);
  });

  it("of a first day are what gives nothing back, and what was not measured", () => {
    const paths = { "1/tape": sound, "2/tape": {}, "3/tape": {} };
    const first = compareMornings(entry("2031-03-14", paths, { unmeasured: ["3/tape"] }), []);
    expect(first).toStrictEqual({
      changes: [
        { kind: "silent", path: "2/tape" },
        { kind: "unmeasured", path: "3/tape" },
      ],
      compared: 0,
    });
  });

  it("take the latest of several good days", () => {
    const days = ["2031-03-08", "2031-03-10"].map((date) => entry(date, four()));
    expect(compareMornings(entry("2031-03-14", four()), days).against).toBe("2031-03-10");
  });

  it("are told by weight: nothing back, not measured, the largest, what is back", () => {
    const before = entry("2031-03-10", { ...four(), "5/tape": {}, "6/tape": sound });
    const now = entry(
      "2031-03-14",
      {
        "1/tape": { ...sound, gain: -1.4, level: -19.4 },
        "2/tape": { ...sound, hum: -40 },
        "3/tape": {},
        "4/tape": {},
        "5/tape": sound,
        "6/tape": sound,
      },
      { unmeasured: ["4/tape"] },
    );
    const told = compareMornings(now, [before]).changes.map((change) =>
      "reading" in change ? change.reading : change.kind,
    );
    // Level and gain moved by as much: the level is told before.
    expect(told).toStrictEqual(["silent", "unmeasured", "hum", "level", "gain", "back"]);
  });

  it.each([
    // All within 0.3 dB, or within three tenths of their middle
    [[-3, -3, -3], true],
    [[-3, -3, -3.85], true],
    [[-3, -3, -3.95], false],
    [[-1, -1, -1.29], true],
    [[-1, -1, -1.32], false],
    [[-3, -3], false],
    [[-3, -3, 0], false],
    [[-3, -3, 3], false],
  ])("of gains of %j are those of what paths share: %s", (gains, isCommon) => {
    const of = (gain: (k: number) => number) =>
      Object.fromEntries(gains.map((_, k) => [`${k + 1}/tape`, { gain: gain(k) }]));
    const now = entry(
      "2031-03-14",
      of((k) => gains[k]),
    );
    const { changes } = compareMornings(now, [
      entry(
        "2031-03-10",
        of(() => 0),
      ),
    ]);
    expect(changes.some(({ kind }) => kind === "common")).toBe(isCommon);
    if (!isCommon) return;
    const [, middle] = [...gains].sort((a, b) => a - b);
    expect(changes).toStrictEqual([
      {
        kind: "common",
        reading: "gain",
        change: middle,
        paths: 3,
        times: expect.closeTo(Math.abs(middle) / 0.7, 9),
      },
    ]);
  });

  it("of a sum are counted from 2 dB on, and never as what all paths share", () => {
    const sums = (level: number) => ({ sums: { "1/tape,2/tape": { level } } });
    const changed = (level: number) =>
      compareMornings(entry("2031-03-14", four(), sums(level)), [
        entry("2031-03-10", four(), sums(0)),
      ]).changes;
    expect(changed(2)).toStrictEqual([]);
    expect(changed(3)).toStrictEqual([
      { kind: "reading", path: "1/tape", last: "2/tape", reading: "level", change: 3, times: 1.5 },
    ]);
    const none = compareMornings(entry("2031-03-14", four(), sums(9)), [good]);
    expect(none.changes).toStrictEqual([]);
    const pairs = ["1/tape,2/tape", "2/tape,3/tape", "3/tape,4/tape"];
    const all = (level: number) => ({
      sums: Object.fromEntries(pairs.map((pair) => [pair, { level }])),
    });
    const three = compareMornings(entry("2031-03-14", four(), all(3)), [
      entry("2031-03-10", four(), all(0)),
    ]);
    expect(three.changes.map(({ kind }) => kind)).toStrictEqual(["reading", "reading", "reading"]);
  });

  describe("of a desk recorded in stereo", () => {
    const named = (count: number, side: "left" | "right") =>
      Array.from({ length: count }, (_, k) => [`${k + 1}/tape, ${side} side`, side] as const);
    const paths = (count: number, side: "left" | "right", first: Figures, second: Figures) =>
      Object.fromEntries([
        ...Array.from({ length: count }, (_, k) => [`${k + 1}/tape`, first] as const),
        ...named(count, side).map(([name]) => [name, second] as const),
      ]);
    const judge = (
      first: Figures,
      second: Figures,
      { count = 3, side = "right" as "left" | "right" } = {},
    ) =>
      compareMornings(
        entry("2031-03-14", paths(count, side, first, second)),
        [entry("2031-03-10", paths(count, side, sound, sound))],
        new Map(named(count, side)),
      ).changes;

    it.each(["left", "right"] as const)(
      "second %s are of that side where all its paths moved",
      (side) => {
        const moved = { ...sound, gain: -3 };
        const other = side === "left" ? "right" : "left";
        expect(judge(sound, moved, { side })).toMatchObject([
          { kind: "common", side, reading: "gain", change: -3, paths: 3 },
        ]);
        expect(judge(moved, sound, { side })).toMatchObject([
          { kind: "common", side: other, reading: "gain", paths: 3 },
        ]);
        const [both, ...rest] = judge(moved, moved, { side });
        expect(both).toMatchObject({ kind: "common", reading: "gain", paths: 6 });
        expect(both).not.toHaveProperty("side");
        expect(rest).toStrictEqual([]);
      },
    );

    it("are one for each side where a curve of both changed, each by its largest point", () => {
      const flat = { "response@10000": 0, "response@16000": 0 };
      const fell = (ten: number, sixteen: number) => ({
        ...sound,
        "response@10000": ten,
        "response@16000": sixteen,
      });
      const told = compareMornings(
        entry("2031-03-14", paths(3, "right", fell(-6, -2), fell(-2, -9))),
        [entry("2031-03-10", paths(3, "right", { ...sound, ...flat }, { ...sound, ...flat }))],
        new Map(named(3, "right")),
      ).changes;
      expect(told).toMatchObject([
        { kind: "common", side: "right", reading: "response@16000", change: -9 },
        { kind: "common", side: "left", reading: "response@10000", change: -6 },
      ]);
      expect(told).toHaveLength(2);
    });

    it("are a side that is missing from three paths on", () => {
      expect(judge(sound, {})).toStrictEqual([
        { kind: "missing", side: "right", paths: 3, path: "all, right" },
      ]);
      expect(judge(sound, {}, { count: 2 }).map(({ kind }) => kind)).toStrictEqual([
        "silent",
        "silent",
      ]);
      // Of a path that gives nothing back its second side is not told.
      expect(judge({}, {}).map(nameChange)).toStrictEqual(
        ["1/tape", "2/tape", "3/tape"].map((path) => `silent ${path}`),
      );
    });
  });
});
