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
    expect([4.61, 4.59, 3.39, 1.2, 1.19].map(rising)).toStrictEqual([
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
    expect(judge(mics(-4), others)).toStrictEqual({ fault: fault(), outcome: "not shown" });
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

describe("how well a change of a shared fault is known", () => {
  const doubtful = (names: readonly string[], value: number, uncertainty = 1) =>
    names.map((name) =>
      path({ path: name, readings: { gain: reading(value, "dB", uncertainty) } }),
    );

  it("is the doubt of the paths inside and outside, added up", () => {
    const inside = ["1/mic", "2/mic"];
    const outside = ["3/mic", "4/mic"];
    // √2 · 1/√2 = 1 dB for the middle of two; 1 dB for each half.
    const moved = (now: number) =>
      judge(
        [...doubtful(inside, -4), ...doubtful(outside, 0)],
        [...doubtful(inside, now), ...doubtful(outside, 0)],
      ).outcome;
    expect(moved(-2.01)).toBe("unchanged");
    expect(moved(-1.99)).toBe("better");
  });

  it("of three and more is by how their changes scatter, not by what each is known to", () => {
    const names = ["1/mic", "2/mic", "3/mic"];
    const three = fault({ paths: names });
    const rest = ["4/mic", "5/mic", "6/mic"].map((name) => at(name, 0));
    const of = (values: readonly number[], uncertainty = 0) =>
      names.map((name, k) =>
        path({ path: name, readings: { gain: reading(values[k], "dB", uncertainty) } }),
      );
    // Alike in their change, however unlike they are: nothing but 0.6 dB is asked for.
    const alike = (by: number, uncertainty: number) =>
      judge(
        [...of([-3, -4, -5], uncertainty), ...rest],
        [...of([-3 + by, -4 + by, -5 + by], uncertainty), ...rest],
        three,
      ).outcome;
    expect(alike(0.59, 0)).toBe("unchanged");
    expect(alike(0.61, 0)).toBe("better");
    expect(alike(0.61, 9)).toBe("better");
    // Changes of 0, 1 and 2 dB: Qn is 2.2219 · 0.994 = 2.2 dB, twice that over √3 is 2.55 dB.
    const scattered = judge([...of([-4, -4, -4]), ...rest], [...of([-4, -3, -2]), ...rest], three);
    expect(scattered).toMatchObject({ left: -3, outcome: "unchanged" });
  });
});

describe("a shared fault of hiss that is nearly gone", () => {
  // 3.5 dB above −80 dBFS: of power 10^−7.65 − 10^−8 = 1.239·10^−8. Each half is known to 1 dB at best,
  // both to 2 dB, 1 dB standard; a day is granted a quarter of the 3 dB of no concern. Twice both is
  // 2.5 dB: over a floor lower by so much the fault would be at −77.445 dBFS.
  const up = fault({}, "hiss", 3.5);
  const hiss = (now: number, outside: number | "none" = -80) =>
    judge(mics(-76.5, outside, "hiss"), mics(now, outside, "hiss"), up).outcome;

  it("is mended where it would be above what is read now, and no sooner", () => {
    expect(hiss(-77.5)).toBe("mended");
    expect(hiss(-77.4)).toBe("cannot tell");
    expect(hiss(-82.6)).toBe("mended");
    expect(hiss(-77.5, "none")).toBe("mended");
  });

  it("is told the later the more its siblings scatter", () => {
    const outside = [-79, -80, -81].map((value, k) => at(`${k + 3}/mic`, value, "hiss"));
    const scattered = (now: number) =>
      judge(
        [...mics(-76.5, "none", "hiss"), ...outside],
        [...mics(now, "none", "hiss"), ...outside],
        up,
      ).outcome;
    // Qn of these is 2.2 dB: twice √(2.2² + 1² + 0.75²) is 5.1 dB, and the fault would be at −78.1 dBFS.
    expect(scattered(-77.5)).toBe("cannot tell");
    expect(scattered(-78.2)).toBe("mended");
  });
});

describe("what a shared fault is held against", () => {
  it("is the siblings of each family by themselves", () => {
    const lines = ["3/line", "4/line", "5/line", "6/line", "7/line"].map((name) => at(name, -4));
    expect(judge([...mics(-4), ...lines], [...mics(0), ...lines])).toMatchObject({
      difference: -4,
      left: 0,
      outcome: "mended",
    });
  });

  it("is nothing in a family where it stood the other way round", () => {
    expect(judge(mics(4), mics(8))).toStrictEqual({ fault: fault(), outcome: "cannot tell" });
  });

  it("is polarity as it is, turned or not", () => {
    const turned = fault({ aspect: "polarity" as never }, "polarity", -2);
    const outcome = (now: number) =>
      judge(mics(-1, 1, "polarity"), mics(now, 1, "polarity"), turned).outcome;
    expect(outcome(1)).toBe("mended");
    expect(outcome(-1)).toBe("unchanged");
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
    expect(judgeSharedFaults({ base: round([]), round: round([]) }, chosen(["1"]))).toStrictEqual(
      [],
    );
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
    expect(listNewSharedFaults({ base: round([]), round: round([]) })).toStrictEqual([]);
  });
});
