import { describe, expect, it } from "vitest";
import { defaultExpectations } from "../../../../src/desk/expectations.js";
import type { Measurement } from "../../../../src/measure/types.js";
import { compareDesk } from "../../../../src/rank/shared/compare-desk.js";
import {
  attributeFaults,
  type ReferenceEvidence,
} from "../../../../src/rank/shared/reference/attribute-faults.js";
import type { ReferencePoint } from "../../../../src/rank/shared/reference/types.js";
import { rows } from "../../../../src/rank/shared/rows.js";
import type {
  PlacedInput,
  SharedAspect,
  SharedFault,
  SharedFinding,
} from "../../../../src/rank/shared/types.js";
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
    expect(judge(() => ({}), {}, "insert", "earlier round")).toStrictEqual([]);
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
    expect(found.map(({ aspect, against }) => [aspect, against])).toStrictEqual([
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
    expect(attributeFaults([fault], paths, { now })).toStrictEqual([fault]);
  });

  it("is left alone without a word of the reference path on it", () => {
    const noisy: Change = ({ input }) => raise("hiss", input === "mic" ? -98 : -104, -79);
    const paths: readonly PlacedInput[] = drawDesk(7, 12, inputs, noisy);
    const faults = compareDesk(paths, reference);
    expect(attributeFaults(faults, paths, { now: { into: "insert" } })).toStrictEqual(faults);
  });
});

describe("judged by hand", () => {
  type Values = Readonly<Record<string, number>>;
  const of = (values: Values, more: Partial<Measurement> = {}, unit = "dB"): Measurement => ({
    readings: Object.fromEntries(
      Object.entries(values).map(([id, value]) => [id, { value, unit, uncertainty: 0.05 }]),
    ),
    absent: {},
    curves: {},
    ...more,
  });
  const paths = [1, 2, 3, 4].map(
    (k): PlacedInput => ({
      path: `${k}/mic`,
      strip: `${k}`,
      input: "mic",
      family: "mic",
      measurement: of({ level: -18 }),
    }),
  );

  function fault(
    finding: Partial<SharedFinding> & Pick<SharedFinding, "reading" | "value">,
    aspect: SharedAspect,
    more: Partial<SharedFault> = {},
  ): SharedFault {
    return {
      part: { kind: "master" },
      paths: paths.map(({ path }) => path),
      findings: [{ deviation: 0, unit: "dB", expected: 0, ...finding }],
      aspect,
      against: "expectation",
      severity: "watch",
      ...more,
    };
  }

  const told = (one: SharedFault, now: Measurement, more: Partial<ReferenceEvidence> = {}) =>
    attributeFaults([one], paths, { now: { into: "insert", first: now }, ...more })[0];
  const verdicts = (one: SharedFault, all: readonly Measurement[], earlier?: Measurement) =>
    all.map(
      (now) =>
        told(one, now, earlier ? { earlier: { into: "insert", first: earlier } } : {}).reference,
    );
  /** Decibels of a share of a power. */
  const db = (share: number) => 10 * Math.log10(share);

  it("leaves alone what other strips tell, and what no row is about", () => {
    for (const one of [
      fault({ reading: "hiss", value: -80 }, "noise", { against: "siblings" }),
      fault({ reading: "none", value: -80 }, "noise"),
      fault({ reading: "response", value: -6, atHz: 23 }, "bass"),
    ]) {
      expect(told(one, of({ hiss: -80 }))).toBe(one);
    }
  });

  it("takes a reference path that clips within 1.5 dB for what clips, from 3 dB on for sound", () => {
    const one = fault({ reading: "headroom", value: 10 }, "clipping");
    const at = (...values: readonly number[]) => values.map((headroom) => of({ headroom }));
    expect(verdicts(one, at(9, 11.5, 11.6, 12.9, 13))).toStrictEqual([
      "shows",
      "shows",
      "partly",
      "partly",
      "clean",
    ]);
    expect(told(one, of({ headroom: 10 })).part.name).toMatch(/rails of the whole desk/);
  });

  it("asks for two fifths of an added power to show it, and a tenth not to", () => {
    const shares = [0.41, 0.39, 0.11, 0.09];
    const all = ["shows", "partly", "partly", "clean"];
    const hiss = fault({ reading: "hiss", value: -80 }, "noise");
    const at = (level: number) => shares.map((share) => of({ level, hiss: -80 + db(share) }));
    expect(verdicts(hiss, at(-18))).toStrictEqual(all);
    // A reference path that comes back 6 dB louder has floors 6 dB up.
    const louder = shares.map((share) => of({ level: -12, hiss: -74 + db(share) }));
    expect(verdicts(hiss, louder)).toStrictEqual(all);
    // Without a level of its own nothing is known of that.
    expect(
      verdicts(hiss, [of({ hiss: -80 + db(0.41) }), of({ hiss: -80 + db(0.09) })]),
    ).toStrictEqual(["shows", "clean"]);
    // Harmonics are given against the tone, however loud that is.
    const thd = fault({ reading: "thd", value: -50 }, "distortion");
    const bent = shares.map((share) => of({ level: -12, thd: -50 + db(share) }));
    expect(verdicts(thd, bent)).toStrictEqual(all);
  });

  it("counts of a change only what was added since, on either", () => {
    // Half of the power was there before: 1 − 10^−0.3 were added.
    const added = 1 - 10 ** -0.3;
    const one = fault({ reading: "hiss", value: -80, expected: -83 }, "noise", {
      against: "baseline",
    });
    const now = (share: number) => of({ level: -18, hiss: -80 + db(share) });
    const before = (share: number, louder = 0) =>
      of({ level: -18 + louder, hiss: -80 + db(share) + louder });
    for (const louder of [0, 6]) {
      const known = before(0.2, louder);
      expect(
        verdicts(one, [now(0.2 + 0.41 * added), now(0.2 + 0.39 * added)], known),
        `${louder}`,
      ).toStrictEqual(["shows", "partly"]);
      expect(
        verdicts(one, [now(0.2 + 0.11 * added), now(0.2 + 0.09 * added), now(0.1)], known),
      ).toStrictEqual(["partly", "clean", "clean"]);
    }
    expect(verdicts(one, [now(0.41 * added), now(0.39 * added)])).toStrictEqual([
      "shows",
      "partly",
    ]);
  });

  it("cannot tell by a bound more than that it is clean", () => {
    const one = fault({ reading: "thd", value: -50 }, "distortion");
    const bound = (value: number): Measurement =>
      of({}, { readings: { thd: { value, unit: "dB", uncertainty: 0, bound: "upper" } } });
    expect(verdicts(one, [bound(-50), bound(-70)])).toStrictEqual([undefined, "clean"]);
  });

  it("counts all of a power that is beyond expectation, whatever an earlier round had", () => {
    const one = fault({ reading: "hiss", value: -80, expected: -90 }, "noise");
    const now = of({ level: -18, hiss: -80 + db(0.41) });
    expect(verdicts(one, [now], of({ level: -18, hiss: -83 }))).toStrictEqual(["shows"]);
  });

  it("corrects floors by the level of the fault's own paths, where they have one", () => {
    const [first, second, ...others] = paths;
    const loud = [first, ...others].map((path) => ({ ...path, measurement: of({ level: 0 }) }));
    const one = fault({ reading: "hiss", value: -80 }, "noise", { paths: [second.path] });
    const now = { into: "insert", first: of({ level: -18, hiss: -80 }) } as const;
    const judged = (own: PlacedInput) => attributeFaults([one], [...loud, own], { now })[0];
    expect(judged(second).reference).toBe("shows");
    expect(judged({ ...second, measurement: of({}) }).reference).toBe("shows");
    // At their level its hiss would be 18 dB up; or 18 dB down, 1.6 % of theirs.
    expect(judged({ ...second, measurement: of({ level: 0 }) }).reference).toBe("shows");
    expect(judged({ ...second, measurement: of({ level: -36 }) }).reference).toBe("clean");
  });

  it("cannot tell by two turns of which one is a bound", () => {
    const one = fault({ reading: "thd", value: -50 }, "distortion");
    const bound: Measurement = of(
      {},
      { readings: { thd: { value: -50, unit: "dB", uncertainty: 0, bound: "upper" } } },
    );
    const turns = (first: Measurement, last: Measurement) =>
      attributeFaults([one], paths, { now: { into: "insert", first, last } })[0].reference;
    expect(turns(bound, of({ thd: -50 }))).toBeUndefined();
    expect(turns(of({ thd: -50 }), bound)).toBeUndefined();
    expect(turns(of({ thd: -50 }), of({ thd: -50 }))).toBe("shows");
  });

  it("reads a response at the frequency of the finding", () => {
    const points = rows.flatMap(({ reading, atHz, aspect }) =>
      reading === "response" && atHz !== undefined ? [{ atHz, aspect }] : [],
    );
    expect(points.length).toBeGreaterThan(1);
    for (const { atHz, aspect } of points) {
      const x = points.map((one) => one.atHz);
      const y = x.map((hz) => (hz === atHz ? -6 : 0));
      const uncertainty = x.map(() => 0);
      const curve = { x, y, uncertainty, xUnit: "Hz", yUnit: "dB" } as const;
      const lost = { reading: "response", value: -6, deviation: -3, expected: -3, atHz };
      const now = of({}, { curves: { response: curve } });
      expect(verdicts(fault(lost, aspect), [now]), `${atHz}`).toStrictEqual(["shows"]);
    }
  });

  it("holds nothing but a level to that of the output at nominal", () => {
    const turned = fault({ reading: "polarity", value: -1, deviation: -2 }, "polarity");
    expect(told(turned, of({ polarity: -1, level: 0 }, {}, "dBu"), { outputDbu: 4 })).toBe(turned);
  });

  it("asks for three fifths of a shift to show it, and a quarter not to", () => {
    const all = ["shows", "partly", "partly", "clean"];
    const shares = [0.61, 0.59, 0.26, 0.24];
    const lost = fault({ reading: "gain", value: -3, deviation: -4 }, "level", {
      against: "baseline",
    });
    const gains = shares.map((share) => of({ gain: 1 - 4 * share }));
    expect(verdicts(lost, gains, of({ gain: 1 }))).toStrictEqual(all);
    // Without an earlier round a response should be level: all of it counts, not what is beyond −3 dB.
    const response = (y: number): Measurement => {
      const x = [22, 1000];
      const curve = { x, y: [y, 0], uncertainty: [0, 0], xUnit: "Hz", yUnit: "dB" } as const;
      return of({}, { curves: { response: curve } });
    };
    const bass = { reading: "response", value: -6, deviation: -3, expected: -3, atHz: 22 } as const;
    const bent = shares.map((share) => response(-6 * share));
    expect(verdicts(fault(bass, "bass"), bent)).toStrictEqual(all);
    // With one it is what changed since: from −3 dB on by another 3.
    const since = shares.map((share) => response(-3 - 3 * share));
    expect(
      verdicts(fault(bass, "bass", { against: "baseline" }), since, response(-3)),
    ).toStrictEqual(all);
    expect(verdicts(fault({ ...bass, value: 0 }, "bass"), [response(-6)])).toStrictEqual([
      undefined,
    ]);
  });

  it("holds a level to that of the output at nominal, where it is calibrated", () => {
    const lost = fault({ reading: "gain", value: -1, deviation: -5 }, "level");
    const at = (level: number, unit: string, outputDbu?: number) =>
      told(lost, of({ gain: 0, level }, {}, unit), outputDbu === undefined ? {} : { outputDbu })
        .reference;
    expect([at(4 - 3.1, "dBu", 4), at(4 - 1.2, "dBu", 4)]).toStrictEqual(["shows", "clean"]);
    expect([at(0.9, "dBFS", 4), at(0.9, "dBu")]).toStrictEqual([undefined, undefined]);
    const turned = fault({ reading: "polarity", value: -1, deviation: -2 }, "polarity");
    expect(told(turned, of({ polarity: -1 }), { outputDbu: 4 })).toBe(turned);
  });

  it("reads levels at the first turn, and all else in the middle of both", () => {
    const both = (one: SharedFault, first: Values, last: Values, earlier: Values) =>
      attributeFaults([one], paths, {
        now: { into: "insert", first: of(first), last: of(last) },
        earlier: { into: "insert", first: of(earlier) },
      })[0].reference;
    const lost = fault({ reading: "gain", value: -4, deviation: -4 }, "level", {
      against: "baseline",
    });
    expect(both(lost, { gain: 0 }, { gain: -4 }, { gain: 0 })).toBe("clean");
    const hiss = fault({ reading: "hiss", value: -80 }, "noise");
    // −86 dB in the middle are a quarter of the power.
    expect(both(hiss, { hiss: -92 }, { hiss: -80 }, {})).toBe("partly");
    const last = { into: "insert", last: of({ level: -12, hiss: -74 }) } as const;
    expect(attributeFaults([hiss], paths, { now: last })[0].reference).toBe("shows");
  });

  it("puts a fault on the side of the entry that tells, and keeps what is named already", () => {
    const part = (kind: SharedFault["part"]["kind"], share: number, into: ReferencePoint) => {
      const one = fault({ reading: "hiss", value: -80 }, "noise", { part: { kind } });
      const now = of({ level: -18, hiss: -80 + db(share) });
      return told(one, now, { now: { into, first: now } }).part;
    };
    for (const kind of ["mains", "desk-supply", "level"] as const) {
      expect(part(kind, 1, "insert")).toStrictEqual({ kind });
    }
    for (const kind of ["master", "input", "family"] as const) {
      expect(part(kind, 1, "insert").name).toBe("master output, cable or interface");
      expect(part(kind, 1, "bus").name).toBe("mix bus, master or interface");
      expect(part(kind, 0.2, "bus")).toStrictEqual({ kind });
    }
    for (const kind of ["input", "family"] as const) {
      expect(part(kind, 0.01, "insert")).toStrictEqual({ kind });
    }
    expect(part("master", 0.01, "insert")).toMatchObject({ kind: "bus" });
    expect(part("mains", 0.01, "bus")).toMatchObject({ kind: "bank" });
  });

  describe("tells of the reference path itself", () => {
    const quiet: Values = {
      level: -18,
      gain: 0,
      hiss: -140,
      humOdd: -110,
      humEven: -110,
      thd: -90,
    };
    const alone = (changes: Values, faults: readonly SharedFault[] = []) => {
      const { measurement: _, ...bare } = { ...paths[0], path: "9/mic" };
      const now = Object.fromEntries(
        Object.entries({ headroom: 20, ...quiet }).map(([id, value]) => [
          id,
          value + (changes[id] ?? 0),
        ]),
      );
      return attributeFaults(faults, [...paths, bare], {
        now: { into: "insert", first: of(now) },
        earlier: { into: "insert", first: of({ headroom: 20, ...quiet }) },
      });
    };
    const readings = (changes: Values) => alone(changes).map(({ findings }) => findings[0].reading);

    it("what is worse by 1.3 practical floors", () => {
      // Floors: 3 dB of noise, 1.2 of the level, 1.5 of headroom, 6 of distortion.
      expect([readings({ hiss: 4 }), readings({ hiss: 3.8 })]).toStrictEqual([["hiss"], []]);
      expect(readings({ hiss: -10 })).toStrictEqual([]);
      expect([readings({ gain: 1.6 }), readings({ gain: -1.6 })]).toStrictEqual([
        ["gain"],
        ["gain"],
      ]);
      expect([readings({ gain: 1.5 }), readings({ gain: -1.5 })]).toStrictEqual([[], []]);
      expect([readings({ headroom: -2 }), readings({ headroom: 2 })]).toStrictEqual([
        ["headroom"],
        [],
      ]);
      expect([readings({ thd: 8 }), readings({ thd: -8 })]).toStrictEqual([["thd"], []]);
    });

    it("once for each mechanism, by what it shows most in, the gravest first", () => {
      expect(readings({ humOdd: 20, humEven: 30 })).toStrictEqual(["humEven"]);
      expect(readings({ humOdd: 30, humEven: 20 })).toStrictEqual(["humOdd"]);
      expect(readings({ hiss: 6, gain: -6 })).toStrictEqual(["gain", "hiss"]);
      expect(readings({ hiss: 12, gain: -2 })).toStrictEqual(["hiss", "gain"]);
      const [one] = alone({ hiss: 6 });
      expect(one.paths).toStrictEqual(paths.map(({ path }) => path));
      expect(one.findings).toStrictEqual([
        { reading: "hiss", deviation: 6, unit: "dB", value: -134, expected: -140 },
      ]);
    });

    it("but what a fault of the desk has told, unless that is none of its own", () => {
      const noise = (value: number) => fault({ reading: "hiss", value }, "noise");
      // Of −120 the reference path has next to nothing, and still is 6 dB up.
      expect(alone({ hiss: 6 }, [noise(-100)]).map(({ against }) => against)).toStrictEqual([
        "expectation",
        "reference-path",
      ]);
      expect(alone({ hiss: 6 }, [noise(-134)]).map(({ against }) => against)).toStrictEqual([
        "expectation",
      ]);
    });
  });
});
