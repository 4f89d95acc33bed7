import { describe, expect, it } from "vitest";
import { defaultExpectations } from "../../../src/desk/expectations.js";
import type { DeskReference } from "../../../src/rank/shared/compare-desk.js";
import { compareSides } from "../../../src/rank/shared/compare-sides.js";
import type { PlacedInput } from "../../../src/rank/shared/types.js";
import { type Change, drawDesk } from "../../helpers/shared-desk.js";

// As compare-desk.test.ts: hiss is drawn at −104 dBFS, allowed up to −88.
const reference: DeskReference = {
  expectations: defaultExpectations,
  unit: "dBFS",
  referenceDbu: 4,
  nominalDbu: { mic: -40, line: 4 },
};
const inputs = ["mic", "line"];

/** A desk recorded in stereo: its right side is drawn for itself, with a change on all paths. */
function stereo(right: Change, left: Change = () => ({}), seed = 1): readonly PlacedInput[] {
  const other = drawDesk(seed + 1000, 8, inputs, right);
  return drawDesk(seed, 8, inputs, left).map((one, i): PlacedInput => {
    const { measurement } = other[i];
    if (one.measurement === undefined || measurement === undefined) return one;
    const { readings, absent, curves } = measurement;
    const partner = { side: "right" as const, readings, absent, curves };
    return { ...one, measurement: { ...one.measurement, partner } };
  });
}

describe("compareSides", () => {
  it("says nothing about healthy desks", () => {
    for (let seed = 0; seed < 50; seed++) {
      const paths = stereo(
        () => ({}),
        () => ({}),
        seed,
      );
      expect(compareSides(paths, reference)).toStrictEqual([]);
    }
  });

  it("tells what only one side of all paths shows, against the other side", () => {
    const found = compareSides(
      stereo(() => ({ level: -6, gain: -6 })),
      reference,
    );
    expect(found).toMatchObject([
      { part: { kind: "master", side: "right" }, aspect: "level", against: "other-side" },
    ]);
    expect(found[0].findings[0].deviation).toBeCloseTo(-6, 0);
    expect(found[0].paths).toContain("3/line");
    const left = compareSides(
      stereo(
        () => ({}),
        () => ({ hiss: 10, noise: 10 }),
      ),
      reference,
    );
    expect(left).toMatchObject([{ part: { side: "left" }, aspect: "noise" }]);
  });

  it("tells which side is beyond what is expected of such a desk", () => {
    const found = compareSides(
      stereo(() => ({ hiss: 30, noise: 30 })),
      reference,
    );
    // The noise of mic and line differs, so that each is told for itself.
    expect(found.map(({ part, against }) => [part.name, part.side, against])).toStrictEqual([
      ["mic", "right", "expectation"],
      ["line", "right", "expectation"],
    ]);
  });

  it("names the side by most paths, not by one whose left side is silent", () => {
    const [one, ...others] = stereo(() => ({ level: -6, gain: -6 }));
    const silent = { value: -60, unit: "dB", uncertainty: 6, bound: "upper" as const };
    const { measurement } = one;
    if (measurement?.partner === undefined) throw new Error("no stereo");
    const odd: PlacedInput = {
      ...one,
      measurement: {
        ...measurement,
        readings: { ...measurement.readings, balance: silent },
        partner: { ...measurement.partner, side: "left" },
      },
    };
    const [found] = compareSides([odd, ...others], reference);
    expect(found.part).toMatchObject({ kind: "master", side: "right" });
  });

  it("tells what both sides show once, of no side", () => {
    const both: Change = () => ({ hiss: 30, noise: 30 });
    const found = compareSides(stereo(both, both), reference);
    expect(found.map(({ part }) => [part.name, part.side])).toStrictEqual([
      ["mic", undefined],
      ["line", undefined],
    ]);
  });

  it("tells a side that changed since an earlier round", () => {
    const earlier = stereo(() => ({}));
    const found = compareSides(
      stereo(() => ({ hiss: 9, noise: 9 })),
      { ...reference, earlier },
    );
    expect(found).toMatchObject([{ part: { side: "right" }, against: "baseline" }]);
  });

  it("names a side only where all measured paths were recorded with the same one second", () => {
    const noisy = stereo(
      () => ({}),
      () => ({ hiss: 30, noise: 30 }),
    );
    const told = (paths: readonly PlacedInput[]) =>
      compareSides(paths, reference).map(({ part }) => [part.kind, part.name, part.side]);
    const left = inputs.map((input) => ["input", input, "left"]);
    expect(told(noisy)).toStrictEqual(left);
    // A path that was not heard is none of them.
    const unheard: PlacedInput = { path: "9/mic", strip: "9", input: "mic", family: "mic" };
    expect(told([...noisy, unheard])).toStrictEqual(left);
    const [{ measurement, ...first }, ...others] = noisy;
    if (measurement?.partner === undefined) throw new Error("no stereo");
    const { partner, ...mono } = measurement;
    const both = inputs.map((input) => ["input", input, undefined]);
    expect(told([{ ...first, measurement: mono }, ...others])).toStrictEqual(both);
    const odd = { ...measurement, partner: { ...partner, side: "left" as const } };
    expect(told([{ ...first, measurement: odd }, ...others])).toStrictEqual(both);
  });

  it("names the first side right where the second one is left", () => {
    const turned = (right: Change, left: Change = () => ({})) =>
      stereo(right, left).map(({ measurement, ...one }): PlacedInput => {
        if (measurement?.partner === undefined) throw new Error("no stereo");
        const partner = { ...measurement.partner, side: "left" as const };
        return { ...one, measurement: { ...measurement, partner } };
      });
    const lost: Change = () => ({ level: -6, gain: -6 });
    const sides = (paths: readonly PlacedInput[]) =>
      compareSides(paths, reference).map(({ part }) => part.side);
    expect(sides(turned(lost))).toStrictEqual(["left"]);
    expect(sides(turned(() => ({}), lost))).toStrictEqual(["right"]);
  });

  it("says nothing of two stereo paths, and something of three", () => {
    const lost = stereo(() => ({ level: -6, gain: -6 })).filter(({ input }) => input === "mic");
    const sides = (count: number) => compareSides(lost.slice(0, count), reference).length;
    expect([2, 3].map(sides)).toStrictEqual([0, 1]);
  });
});
