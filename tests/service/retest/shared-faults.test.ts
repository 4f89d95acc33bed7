import { describe, expect, it } from "vitest";
import type { RoundPath, RoundShared } from "../../../src/history/types.js";
import {
  judgeSharedFaults,
  listNewSharedFaults,
} from "../../../src/service/retest/shared-faults.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: differences worked out by hand. 1.2 dB of a shared level are of no concern, and a change is
// told from half of that on; powers add.

const at = (name: string, value: number, id = "gain", parts: Partial<RoundPath> = {}) =>
  path({
    path: name,
    readings: { [id]: reading(value, id === "gain" ? "dB" : "dBFS", 0) },
    ...parts,
  });
const fault = (parts: Partial<RoundShared> = {}, reads = "gain", deviation = -4): RoundShared =>
  ({
    part: { kind: "supply", name: "feed", strips: ["1", "2"] },
    paths: ["1/mic", "2/mic"],
    findings: [{ reading: reads, deviation, unit: "dB", value: deviation, expected: 0 }],
    aspect: reads === "gain" ? "level" : "noise",
    against: "siblings",
    severity: "service",
    ...parts,
  }) as RoundShared;
/** Paths 1 and 2 with the first value, 3 to 5 with the second, or without these. */
const mics = (inside: number, outside: number | "none" = 0, id = "gain") => [
  ...["1/mic", "2/mic"].map((name) => at(name, inside, id)),
  ...(outside === "none" ? [] : ["3/mic", "4/mic", "5/mic"].map((name) => at(name, outside, id))),
];
const chosen = (touched: readonly string[], worksOnShared?: true) =>
  ({ chosen: { touched, paths: [], ...(worksOnShared && { worksOnShared }) } }) as never;

function judge(
  was: readonly RoundPath[],
  is: readonly RoundPath[],
  one: RoundShared = fault(),
  later: readonly RoundShared[] = [],
) {
  const base = { ...round(was), shared: [one] };
  const again = { ...round(is, "2031-06-01-01"), shared: later };
  return judgeSharedFaults({ base, round: again }, chosen(["1"]))[0];
}

describe("what became of a shared fault of a level", () => {
  const outcome = (now: number, moved = 0) => judge(mics(-4), mics(now, moved)).outcome;

  it("is by how much of its difference is left", () => {
    expect(judge(mics(-4), mics(-1))).toMatchObject({ difference: -4, left: -1 });
    expect(outcome(-4)).toBe("unchanged");
    expect(outcome(-3.41)).toBe("unchanged");
    expect(outcome(-3.39)).toBe("better");
    expect(outcome(-4.59)).toBe("unchanged");
    expect(outcome(-4.61)).toBe("worse");
    expect(outcome(-1.2)).toBe("better");
    expect(outcome(-1.19)).toBe("mended");
    expect(outcome(0)).toBe("mended");
    expect(outcome(2)).toBe("mended");
  });

  it("takes off what the paths beside it did", () => {
    expect(outcome(-3, 1)).toBe("unchanged");
    expect(outcome(-4, -4)).toBe("mended");
    expect(judge(mics(-4), mics(-3, 1))).toMatchObject({ left: -4 });
    // Where none of these was measured again, nothing is taken off.
    expect(judge(mics(-4), mics(-4, "none"))).toMatchObject({ left: -4, outcome: "unchanged" });
    expect(judge(mics(-4), mics(0, "none"))).toMatchObject({ left: 0, outcome: "mended" });
  });

  it("is judged by what was expected then where nothing stood beside it", () => {
    // 4 dB below what was expected: that was −6 dB.
    expect(judge(mics(-10, "none"), mics(-6, "none"))).toMatchObject({
      difference: -4,
      left: 0,
      outcome: "mended",
    });
    // So it is where it was held to no siblings.
    const others = fault({ against: "baseline" as never });
    expect(judge(mics(-10), mics(-10), others)).toMatchObject({ difference: -4, left: -4 });
  });

  it("rises as well as it falls", () => {
    const up = fault({}, "gain", 4);
    const rising = (now: number) => judge(mics(4), mics(now), up).outcome;
    expect([4.61, 4.59, 3.39, 1.2, 1.19].map(rising)).toEqual([
      "worse",
      "unchanged",
      "better",
      "better",
      "mended",
    ]);
  });

  it("is not told by a family that showed less than half of what is of concern, or the reverse", () => {
    expect(judge(mics(-0.59), mics(0)).outcome).toBe("cannot tell");
    expect(judge(mics(-0.61), mics(0)).outcome).toBe("mended");
    expect(judge(mics(4), mics(0)).outcome).toBe("cannot tell");
    expect(judge(mics(0), mics(0)).outcome).toBe("cannot tell");
  });

  it("is that of the family in which it is worst", () => {
    const lines = (inside: number) => [
      at("1/line", inside),
      ...["2/line", "3/line", "4/line"].map((name) => at(name, 0)),
    ];
    const both = fault({ paths: ["1/mic", "2/mic", "1/line"] });
    const worst = (mic: number, line: number) =>
      judge([...mics(-4), ...lines(-4)], [...mics(mic), ...lines(line)], both).outcome;
    expect(worst(0, 0)).toBe("mended");
    expect(worst(0, -4)).toBe("unchanged");
    expect(worst(-4, 0)).toBe("unchanged");
    expect(worst(-2, -8)).toBe("worse");
    expect(worst(-8, -4)).toBe("worse");
  });

  it("is told by median and doubt of what scatters", () => {
    // Two differences known to 1 dB each: √2 · 1/√2 = 1 dB for the middle of both.
    const doubtful = (value: number) =>
      ["1/mic", "2/mic"].map((name) =>
        path({ path: name, readings: { gain: reading(value, "dB", 1) } }),
      );
    const rest = ["3/mic", "4/mic", "5/mic"].map((name) => at(name, 0));
    const moved = (now: number) =>
      judge([...doubtful(-4), ...rest], [...doubtful(now), ...rest]).outcome;
    expect(moved(-3.01)).toBe("unchanged");
    expect(moved(-2.99)).toBe("better");
    const little = (now: number) =>
      judge([...doubtful(-1.3), ...rest], [...doubtful(now), ...rest]).outcome;
    expect(little(-0.31)).toBe("cannot tell");
    expect(little(-0.29)).toBe("mended");
  });

  it("is not shown where none of its paths was measured again, or nothing was found", () => {
    const others = mics(-4).slice(2);
    expect(judge(mics(-4), others)).toEqual({ fault: fault(), outcome: "not shown" });
    expect(judge(mics(-4), mics(-4), fault({ findings: [] })).outcome).toBe("not shown");
    const otherUnit = mics(0).map((one) => ({ ...one, readings: { gain: reading(0, "%") } }));
    expect(judge(mics(-4), otherUnit).outcome).toBe("cannot tell");
    const unusable = mics(-4).map((one) => ({ ...one, status: "unusable" as const }));
    expect(judge(unusable, mics(0)).outcome).toBe("cannot tell");
  });

  it("against what such a desk has is gone where the re-test no longer says so", () => {
    const wrong = fault({ against: "expectation" as never });
    expect(judge(mics(-4), mics(-4), wrong).outcome).toBe("mended");
    expect(judge(mics(-4), mics(-4), wrong, [wrong]).outcome).toBe("unchanged");
    expect(judge(mics(-4), mics(0), wrong, [wrong]).outcome).toBe("better");
    const elsewhere = fault({ against: "expectation" as never, paths: ["5/mic"] });
    expect(judge(mics(-4), mics(-4), wrong, [elsewhere]).outcome).toBe("mended");
    const ofNoise = fault({ against: "expectation" as never, aspect: "polarity" as never });
    expect(judge(mics(-4), mics(-4), wrong, [ofNoise]).outcome).toBe("mended");
  });
});

describe("what became of a shared fault of another kind", () => {
  it("silence: by how many paths are heard", () => {
    const silence = fault({}, "return");
    const heard = (...status: readonly RoundPath["status"][]) =>
      judge(
        mics(-4),
        mics(0).map((one, k) => ({ ...one, status: status[k] ?? "measured" })),
        silence,
      ).outcome;
    expect(heard()).toBe("mended");
    expect(heard("unusable")).toBe("better");
    expect(heard("measured", "unusable")).toBe("better");
    expect(heard("unusable", "unusable")).toBe("unchanged");
  });

  it("hiss: mended where no fault can hide in what is left", () => {
    const up = fault({}, "hiss", 20);
    const hiss = (now: number, floor = -80) =>
      judge(mics(-60, -80, "hiss"), mics(now, floor, "hiss"), up).outcome;
    expect(hiss(-80)).toBe("mended");
    expect(hiss(-60)).toBe("unchanged");
    expect(hiss(-70)).toBe("better");
    // A floor that rose by 40 dB hides 20 dB of fault: with it −39.96 dB.
    expect(hiss(-40, -40)).toBe("cannot tell");
  });
});

describe("which shared faults are judged", () => {
  const keys = (one: RoundShared, touched: readonly string[], works?: true) =>
    judgeSharedFaults(
      { base: { ...round(mics(-4)), shared: [one] }, round: round(mics(0)) },
      chosen(touched, works),
    ).length;

  it("those that reach a strip that was worked on, or all where the part was", () => {
    expect(keys(fault(), ["2"])).toBe(1);
    expect(keys(fault(), ["3"])).toBe(0);
    expect(keys(fault(), ["3"], true)).toBe(1);
    expect(judgeSharedFaults({ base: round([]), round: round([]) }, chosen(["1"]))).toEqual([]);
  });

  it("none that is the recording's level, unless such a desk ought to have another", () => {
    const level = { part: { kind: "level" } as never };
    expect(keys(fault(level), ["1"])).toBe(0);
    expect(keys(fault({ ...level, against: "expectation" as never }), ["1"])).toBe(1);
  });

  it("new are those that want service and that the earlier round did not have", () => {
    const news = (one: RoundShared, before: readonly RoundShared[] = []) =>
      listNewSharedFaults({
        base: { ...round([]), shared: before },
        round: { ...round([]), shared: [one] },
      }).length;
    expect(news(fault())).toBe(1);
    expect(news(fault({ against: "baseline" as never }))).toBe(0);
    expect(news(fault({ severity: "watch" }))).toBe(0);
    expect(news(fault({ part: { kind: "level" } as never }))).toBe(0);
    expect(news(fault(), [fault()])).toBe(0);
    expect(news(fault(), [fault({ paths: ["9/mic"] })])).toBe(1);
    expect(news(fault(), [fault({ paths: ["9/mic", "2/mic"] })])).toBe(0);
    expect(news(fault(), [fault({ aspect: "polarity" as never })])).toBe(1);
    // Odd and even mains lines come of one mechanism.
    const odd = fault({ aspect: "hum-odd" as never });
    expect(news(odd, [fault({ aspect: "hum-even" as never })])).toBe(0);
    expect(listNewSharedFaults({ base: round([]), round: round([]) })).toEqual([]);
  });
});
