import { describe, expect, it } from "vitest";
import { defaultExpectations } from "../../../../src/desk/expectations.js";
import type { Measurement } from "../../../../src/measure/types.js";
import { compareDesk } from "../../../../src/rank/shared/compare-desk.js";
import { attributeFaults } from "../../../../src/rank/shared/reference/attribute-faults.js";
import type { ReferencePoint } from "../../../../src/rank/shared/reference/types.js";
import type { PlacedInput, SharedFault } from "../../../../src/rank/shared/types.js";
import { addPowers, type Change, drawDesk } from "../../../helpers/shared-desk.js";

const inputs = ["mic", "line"];
const reference = {
  expectations: defaultExpectations,
  unit: "dBFS",
  referenceDbu: 4,
  nominalDbu: { mic: -40, line: 4 },
} as const;

const values = { level: -18, gain: 0, hiss: -117, humOdd: -130, humEven: -132, thd: -104 };

function measurement(change: Readonly<Record<string, number>> = {}): Measurement {
  const readings = Object.fromEntries(
    Object.entries(values).map(([id, value]) => [
      id,
      { value: value + (change[id] ?? 0), unit: "dB", uncertainty: 0.05 },
    ]),
  );
  return { readings, absent: {}, curves: {} };
}

/** Raises a reading to a power sum with what is added. */
const raise = (id: string, from: number, addedDb: number) => ({
  [id]: addPowers(from, addedDb) - from,
});

function judge(
  change: Change,
  past: Readonly<Record<string, number>>,
  into: ReferencePoint,
  knownBefore: "earlier round" | "first round",
) {
  const paths = drawDesk(7, 12, inputs, change);
  const earlier = drawDesk(8, 12, inputs);
  const known = knownBefore === "earlier round";
  const faults = compareDesk(paths, known ? { ...reference, earlier } : reference);
  return attributeFaults(faults, paths, {
    now: { into, first: measurement(past), last: measurement(past) },
    ...(known ? { earlier: { into, first: measurement() } } : {}),
  });
}

describe("a fault that all paths share", () => {
  // Expected sides: by where the power was added in each case.
  it.each(["earlier round", "first round"] as const)(
    "lies before the insert where the reference path is clean (%s)",
    (known) => {
      const noisy: Change = ({ input }) => raise("hiss", input === "mic" ? -98 : -104, -79);
      const [first] = judge(noisy, {}, "insert", known);
      expect(first).toMatchObject({
        aspect: "noise",
        part: { kind: "bus" },
        reference: "clean",
      });
      expect(judge(noisy, {}, "bus", known)[0]).toMatchObject({
        part: { kind: "bank", name: "all strips alike" },
        reference: "clean",
      });
    },
  );

  it.each(["earlier round", "first round"] as const)(
    "lies after the insert where the reference path shows it (%s)",
    (known) => {
      const noisy: Change = ({ input }) => raise("hiss", input === "mic" ? -98 : -104, -81);
      const past = raise("hiss", -117, -81);
      expect(judge(noisy, past, "insert", known)[0]).toMatchObject({
        aspect: "noise",
        part: { kind: "master", name: "master output, cable or interface" },
        reference: "shows",
      });
    },
  );

  it("is left where it was when the reference path shows a part of it", () => {
    const noisy: Change = ({ input }) => raise("hiss", input === "mic" ? -98 : -104, -79);
    const [first] = judge(noisy, raise("hiss", -117, -85.5), "insert", "earlier round");
    expect(first).toMatchObject({ part: { kind: "master" }, reference: "partly" });
    expect(first.part.name).toBeUndefined();
  });

  it("stays with an input where only that input has it", () => {
    const humming: Change = ({ input }) =>
      input === "mic" ? raise("humOdd", -115, -70) : ({} as Record<string, number>);
    expect(judge(humming, {}, "insert", "earlier round")[0]).toMatchObject({
      part: { kind: "input", name: "mic" },
      reference: "clean",
    });
  });

  it("is reported where the strips' own noise hides it and the reference path does not", () => {
    const found = judge(() => ({}), raise("hiss", -117, -107), "insert", "earlier round");
    expect(found).toMatchObject([
      { aspect: "noise", against: "reference-path", severity: "watch", reference: "shows" },
    ]);
    expect(judge(() => ({}), {}, "insert", "earlier round")).toEqual([]);
  });

  it("is put by the level on the side where the level changed", () => {
    const quiet: Change = () => ({ gain: -4, level: -4 });
    const [strips] = judge(quiet, {}, "insert", "earlier round");
    expect(strips).toMatchObject({ aspect: "level", part: { kind: "bus" }, reference: "clean" });
    const [outside] = judge(quiet, { gain: -4, level: -4 }, "insert", "earlier round");
    expect(outside).toMatchObject({ aspect: "level", part: { kind: "level" }, reference: "shows" });
  });

  it("lies in the strips' supply where it is ripple that the reference path has not", () => {
    const ripple: Change = ({ input }) => raise("humEven", -128, input === "mic" ? -70 : -68);
    expect(judge(ripple, {}, "insert", "earlier round")[0]).toMatchObject({
      aspect: "hum-even",
      part: { kind: "desk-supply", name: "supply of the strips" },
      reference: "clean",
    });
  });

  it("keeps nothing else that the reference path shows from being told", () => {
    const quiet: Change = () => ({ gain: -4, level: -4 });
    const past = { gain: -4, level: -4, ...raise("thd", -104, -80) };
    const found = judge(quiet, past, "insert", "earlier round");
    expect(found.map(({ aspect, against }) => [aspect, against])).toEqual([
      ["level", "baseline"],
      ["distortion", "reference-path"],
    ]);
  });

  it("is left where it was when nothing was added to it that could be looked for", () => {
    const paths = drawDesk(7, 12, inputs);
    const finding = { reading: "hiss", deviation: 0, unit: "dB", value: -98, expected: -98 };
    const fault: SharedFault = {
      part: { kind: "master" },
      paths: paths.map(({ path }) => path),
      findings: [finding],
      aspect: "noise",
      against: "baseline",
      severity: "watch",
    };
    const now = { into: "insert", first: measurement() } as const;
    expect(attributeFaults([fault], paths, { now })).toEqual([fault]);
  });

  it("is left alone without a word of the reference path on it", () => {
    const noisy: Change = ({ input }) => raise("hiss", input === "mic" ? -98 : -104, -79);
    const paths: readonly PlacedInput[] = drawDesk(7, 12, inputs, noisy);
    const faults = compareDesk(paths, reference);
    expect(attributeFaults(faults, paths, { now: { into: "insert" } })).toEqual(faults);
  });
});
