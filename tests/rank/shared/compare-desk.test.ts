import { describe, expect, it } from "vitest";
import { defaultExpectations } from "../../../src/desk/expectations.js";
import type { Curve, Measurement, Reading } from "../../../src/measure/types.js";
import {
  compareDesk,
  compareWithOther,
  type DeskReference,
  findBeyondExpectation,
} from "../../../src/rank/shared/compare-desk.js";
import type { PlacedInput } from "../../../src/rank/shared/types.js";
import { type Change, drawDesk } from "../../helpers/shared-desk.js";

// Readings are drawn about a level of −18 dBFS, hiss at −104 and odd lines at −115 (helpers): the
// built-in expectations allow hiss up to −18 − 70 = −88, and mains lines up to −78.

const reference: DeskReference = {
  expectations: defaultExpectations,
  unit: "dBFS",
  referenceDbu: 4,
  nominalDbu: { mic: -40, line: 4 },
};
const inputs = ["mic", "line"];
const draw = (change: Change, seed = 1) => drawDesk(seed, 8, inputs, change);
const judge = (change: Change, earlier?: readonly PlacedInput[]) =>
  compareDesk(draw(change), earlier === undefined ? reference : { ...reference, earlier });

/** A desk whose response falls by so much below 100 Hz. */
const bassy = (lossDb: number, change: Change, seed: number) =>
  draw(change, seed).map((one): PlacedInput => {
    const { measurement } = one;
    if (measurement === undefined) return one;
    const x = [20, 22, 25, 1000];
    const y = x.map((hz) => (hz < 100 ? lossDb : 0));
    const response: Curve = { x, y, uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" };
    return { ...one, measurement: { ...measurement, curves: { response } } };
  });

describe("compareDesk", () => {
  it("says nothing about healthy desks", () => {
    for (let seed = 0; seed < 50; seed++) {
      expect(
        compareDesk(
          draw(() => ({}), seed),
          reference,
        ),
      ).toStrictEqual([]);
    }
  });

  it("says of a raised floor that it is a steady tone, and where, if it is one", () => {
    // Half the power is the least: 10·lg 2 = 3.01 dB below all of it.
    const whistling = (belowDb: number, hz: (strip: number) => number) =>
      draw(() => ({ hiss: 24, noise: 24 })).map((path): PlacedInput => {
        const own = path.measurement?.readings ?? {};
        const readings = {
          ...own,
          strayTone: { ...own.hiss, value: own.hiss.value - belowDb },
          strayToneHz: { value: hz(Number(path.strip)), unit: "Hz", uncertainty: 0.05 },
        };
        return { ...path, measurement: { readings, absent: {}, curves: {} } };
      });
    const told = (paths: readonly PlacedInput[]) => {
      const findings = compareDesk(paths, reference).flatMap((one) => one.findings);
      const ofHiss = findings.filter(({ reading }) => reading === "hiss");
      return [...new Set(ofHiss.map(({ toneHz }) => toneHz))];
    };
    expect(told(whistling(2.9, (strip) => 8000 + strip))).toStrictEqual([8004.5]);
    expect(told(whistling(3.1, (strip) => 8000 + strip))).toStrictEqual([undefined]);
    expect(told(whistling(1, (strip) => 1000 * strip))).toStrictEqual([undefined]);
    expect(told(whistling(1, () => 30_000))).toStrictEqual([undefined]);
    expect(told(draw(() => ({ hiss: 24, noise: 24 })))).toStrictEqual([undefined]);
    const [alone] = whistling(1, () => 8000);
    expect(findBeyondExpectation(alone, reference)[0]).toMatchObject({ toneHz: 8000 });
  });

  it("takes the gains of a calibrated desk for what its inputs amplify", () => {
    // −18 dBFS stands for +4 dBu: 22 dB on all levels; a microphone's gain is 4 + 40 = 44 dB.
    const calibrated = (lowDb: number) =>
      compareDesk(
        draw(({ input }): Record<string, number> => {
          const off = input === "line" ? -lowDb : 0;
          const gain = (input === "mic" ? 44 : 0) + off;
          return { level: 22 + off, gain, hiss: 22, noise: 22, humOdd: 22, humEven: 22 };
        }),
        { ...reference, unit: "dBu" },
      );
    expect(calibrated(0)).toStrictEqual([]);
    expect(calibrated(5)).toMatchObject([
      { part: { kind: "input", name: "line" }, aspect: "level", against: "expectation" },
    ]);
  });

  it("tells hum 80 dB up and noise 25 dB up on all paths of a first round", () => {
    const [hum] = judge(() => ({ humOdd: 80, noise: 70 }));
    expect(hum).toMatchObject({ part: { kind: "mains" }, against: "expectation" });
    expect(hum.paths).toHaveLength(16);
    expect(hum.probability).toBeGreaterThan(0.95);
    const [noise] = judge(({ input }) => ({ hiss: input === "mic" ? 19 : 25, noise: 25 }));
    expect(noise).toMatchObject({ part: { kind: "master" }, aspect: "noise", severity: "service" });
  });

  it("says of a change since an earlier round that it is beyond what is expected too", () => {
    const [hum] = judge(
      () => ({ humOdd: 80, noise: 70 }),
      draw(() => ({}), 2),
    );
    expect(hum).toMatchObject({ against: "baseline", beyondExpectation: true });
    const [risen] = judge(
      () => ({ hiss: 9, noise: 9 }),
      draw(() => ({}), 2),
    );
    expect(risen.against).toBe("baseline");
    expect(risen.beyondExpectation).toBeUndefined();
  });

  it("takes an input that is dead for just that: no noise comes of a tone that is lost", () => {
    const faults = judge(
      ({ input }): Record<string, number> =>
        input === "mic" ? { gain: -75, level: -75, thd: 40, thdHot: 40 } : {},
    );
    expect(faults).toMatchObject([{ part: { kind: "input", name: "mic" }, aspect: "dead" }]);
  });

  it("tells an input that comes back the other way up than the others", () => {
    const turned = draw(() => ({})).map((one): PlacedInput => {
      const { measurement } = one;
      if (measurement === undefined) return one;
      const value = one.input === "mic" ? -1 : 1;
      const polarity = { value, unit: "", uncertainty: 0 };
      const readings = { ...measurement.readings, polarity };
      return { ...one, measurement: { ...measurement, readings } };
    });
    expect(compareDesk(turned, reference)).toMatchObject([
      { part: { kind: "input", name: "mic" }, aspect: "polarity", severity: "service" },
    ]);
  });

  it("takes the one of three inputs that is upright for the odd one, and not the two others", () => {
    const of: Readonly<Record<string, number>> = { mic: -1, line: -1, tape: 1 };
    const turned = drawDesk(1, 8, ["mic", "line", "tape"]).map((one): PlacedInput => {
      const { measurement } = one;
      if (measurement === undefined) return one;
      const polarity = { value: of[one.input], unit: "", uncertainty: 0 };
      const readings = { ...measurement.readings, polarity };
      return { ...one, measurement: { ...measurement, readings } };
    });
    const nominalDbu = { ...reference.nominalDbu, tape: 4 };
    const faults = compareDesk(turned, { ...reference, nominalDbu });
    expect(faults.filter(({ aspect }) => aspect === "polarity")).toMatchObject([
      { part: { kind: "input", name: "tape" }, findings: [{ value: 1, expected: -1 }] },
    ]);
  });

  it("takes the band to end where the response is down by 3 dB", () => {
    // The level that limits an effective frequency range in IEC 60268-3, from memory.
    expect(
      compareDesk(
        bassy(-2, () => ({}), 1),
        reference,
      ),
    ).toStrictEqual([]);
    const [fault, ...others] = compareDesk(
      bassy(-6, () => ({}), 1),
      reference,
    );
    expect(others).toStrictEqual([]);
    expect(fault.aspect).toBe("bass");
    expect(fault.findings[0]).toMatchObject({ reading: "response", value: -6, expected: -3 });
  });

  it("keeps a loss of bass a fault of its own beside noise that rises by more", () => {
    const now = bassy(-6, ({ input }) => ({ hiss: input === "mic" ? 19 : 25, noise: 25 }), 1);
    const earlier = bassy(-0.5, () => ({}), 2);
    const faults = compareDesk(now, { ...reference, earlier });
    expect(faults.map(({ aspect }) => aspect).sort()).toStrictEqual(["bass", "noise"]);
  });

  it("takes no figure that only a few paths of a family have for the family's", () => {
    // Three of eight reach clipping within what was played; the others do not clip at all.
    const some = draw(() => ({})).map((one): PlacedInput => {
      const { measurement } = one;
      if (measurement === undefined || Number(one.strip) > 3) return one;
      const headroom = { value: 5, unit: "dB", uncertainty: 0.2 };
      const readings = { ...measurement.readings, headroom };
      return { ...one, measurement: { ...measurement, readings } };
    });
    expect(compareDesk(some, reference)).toStrictEqual([]);
  });

  it("keeps one fault of all inputs one, beyond what is expected and changed since", () => {
    const bass: Change = () => ({});
    const withLoss = (paths: readonly PlacedInput[], lossDb: number) =>
      paths.map((one, k): PlacedInput => {
        const { measurement } = one;
        if (measurement === undefined) return one;
        const x = [20, 22, 25, 1000];
        // The mic input has lost a little of its own for years.
        const own = one.input === "mic" ? -1.2 : 0;
        const y = x.map((hz) => (hz < 100 ? lossDb + own + 0.01 * (k % 3) : 0));
        const response: Curve = { x, y, uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" };
        return { ...one, measurement: { ...measurement, curves: { response } } };
      });
    const earlier = withLoss(draw(bass, 2), -0.5);
    const faults = compareDesk(withLoss(draw(bass), -5.8), { ...reference, earlier });
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatchObject({ part: { kind: "master" }, aspect: "bass" });
  });
});

describe("judged by hand", () => {
  type Values = Readonly<Record<string, number>>;
  const healthy: Values = {
    level: -18,
    gain: 0,
    hiss: -104,
    humOdd: -115,
    humEven: -128,
    thd: -90,
  };

  /** A response at the points where it is looked at. */
  const bent = (x: readonly number[], y: readonly number[]): Measurement["curves"] => ({
    response: { x, y, uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" },
  });

  function path(
    strip: number,
    input: string,
    values: Values = {},
    more: { family?: string; curves?: Measurement["curves"] } = {},
  ): PlacedInput {
    const readings: Record<string, Reading> = {};
    for (const [id, value] of Object.entries({ ...healthy, ...values })) {
      readings[id] = { value, unit: "dB", uncertainty: 0.1 };
    }
    const { family = input, curves = {} } = more;
    const measurement = { readings, absent: {}, curves };
    return { path: `${strip}/${input}`, strip: `${strip}`, input, family, measurement };
  }

  const strips = (values: Values, input = "mic", count = 4) =>
    Array.from({ length: count }, (_, k) => path(k + 1, input, values));
  const told = (paths: readonly PlacedInput[], more: Partial<DeskReference> = {}) =>
    compareDesk(paths, { ...reference, ...more });
  const brief = (paths: readonly PlacedInput[], more: Partial<DeskReference> = {}) =>
    told(paths, more).map(({ part, aspect }) => [part.kind, part.name, aspect]);
  const expectedOf = (values: Values, more: Partial<DeskReference> = {}) =>
    findBeyondExpectation(path(1, "mic", values), { ...reference, ...more }).map(
      ({ reading, expected }) => [reading, expected],
    );

  it("asks for three measured paths", () => {
    expect(brief(strips({ hiss: -60 }, "mic", 2))).toStrictEqual([]);
    expect(brief(strips({ hiss: -60 }, "mic", 3))).toStrictEqual([["master", undefined, "noise"]]);
    const { measurement: _, ...bare } = path(3, "mic");
    expect(brief([...strips({ hiss: -60 }, "mic", 2), bare])).toStrictEqual([]);
  });

  it("holds a single path to the bounds of hum, noise and distortion, the worst first", () => {
    // In floors of 8, 3 and 6 dB: hum at −78 and noise at −88 lie 60 and 70 below the tone.
    expect(expectedOf({ hiss: -80, thd: -20 })).toStrictEqual([
      ["thd", -60],
      ["hiss", -88],
    ]);
    expect(expectedOf({ hiss: -80, thd: -54 })).toStrictEqual([
      ["hiss", -88],
      ["thd", -60],
    ]);
    expect(expectedOf({ humEven: -60 })).toStrictEqual([["humEven", -78]]);
    // Its level and its polarity only others tell.
    expect(expectedOf({ level: 20, polarity: -1, gain: 30 }, { unit: "dBu" })).toStrictEqual([]);
  });

  it("holds floors to dBu as such where it is calibrated, and else against the tone", () => {
    const expectations = {
      ...defaultExpectations,
      hum: { value: -50, unit: "dBu" },
      noise: { value: -70, unit: "dBu" },
    } as const;
    const loud = { hiss: -20, humEven: -20 };
    const sorted = (more: Partial<DeskReference>) =>
      Object.fromEntries(expectedOf(loud, { expectations, ...more }));
    expect(sorted({ unit: "dBu" })).toMatchObject({ hiss: -70, humEven: -50 });
    // −50 dBu is 54 dB below +4 dBu, at which the tone of −18 dBFS is taken to come back.
    expect(sorted({ unit: "dBFS" })).toMatchObject({ hiss: -18 - 74, humEven: -18 - 54 });
  });

  it("adds the noise of the recording's own word length to the bound, as power", () => {
    const [[, expected]] = expectedOf({ hiss: -60 }, { recordingNoise: -88 });
    expect(expected).toBeCloseTo(-88 + 10 * Math.log10(2), 9);
  });

  it("holds a floor that is alike on inputs 20 dB apart to 6 dB less", () => {
    const on = (mic: number, line: number, nominalDbu: Readonly<Record<string, number>>) =>
      told([...strips({ hiss: mic }), ...strips({ hiss: line }, "line")], { nominalDbu }).map(
        ({ findings }) => findings[0].expected,
      );
    expect(on(-90, -90, { mic: -40, line: 4 })).toStrictEqual([-94]);
    expect(on(-90, -92, { mic: -16, line: 4 })).toStrictEqual([-94]);
    expect(on(-90, -92, { mic: -15.9, line: 4 })).toStrictEqual([]);
    expect(on(-90, -92.1, { mic: -40, line: 4 })).toStrictEqual([]);
    expect(on(-90, -90, { mic: -40 })).toStrictEqual([]);
    expect(on(-90, -90, { mic: 30, line: 30 })).toStrictEqual([]);
  });

  it("holds a response to −3 dB within the band, either end of it included", () => {
    const points = (band: readonly [number, number]) =>
      findBeyondExpectation(
        path(
          1,
          "mic",
          {},
          { curves: bent([22, 28, 110, 5000, 16_000, 18_500], Array(6).fill(-6)) },
        ),
        { ...reference, expectations: { ...defaultExpectations, band } },
      )
        .map(({ atHz, expected }) => [atHz, expected])
        .sort(([a = 0], [b = 0]) => a - b);
    // An average takes a sixth of an octave to either side: each point stands alone, 22 and 28 aside.
    expect(points([28, 16_000])).toStrictEqual([28, 110, 5000, 16_000].map((hz) => [hz, -3]));
    expect(points([28.1, 15_999])).toStrictEqual([110, 5000].map((hz) => [hz, -3]));
  });

  it("wants service from one and a half practical floors on", () => {
    // A floor at the bound and 3 dB, or 6 dB, for each more.
    const severity = (values: Values) => told(strips(values)).map((one) => one.severity);
    expect(severity({ hiss: -88 + 1.4 })).toStrictEqual(["watch"]);
    expect(severity({ hiss: -88 + 1.6 })).toStrictEqual(["service"]);
    expect(severity({ thd: -57.1 })).toStrictEqual(["watch"]);
    expect(severity({ thd: -56.9 })).toStrictEqual(["service"]);
    expect(severity({ thd: -60 })).toStrictEqual([]);
    expect(severity({ thd: -59.9 })).toStrictEqual(["watch"]);
  });

  it("names the worse of odd and even lines first, and the part by them", () => {
    const found = (humOdd: number, humEven: number) =>
      told(strips({ humOdd, humEven })).map(({ part, findings }) => [
        part.kind,
        ...findings.map(({ reading }) => reading),
      ]);
    expect(found(-68, -58)).toStrictEqual([["desk-supply", "humEven", "humOdd"]]);
    expect(found(-58, -68)).toStrictEqual([["mains", "humOdd", "humEven"]]);
  });

  it("lists the gravest fault first", () => {
    const low = bent([22, 28, 56, 110], [-3.5, -3.5, -3.5, -3.5]);
    const both = (thd: number) =>
      Array.from({ length: 4 }, (_, k) => path(k + 1, "mic", { thd }, { curves: low }));
    expect(told(both(-40)).map(({ aspect }) => aspect)).toStrictEqual(["distortion", "bass"]);
    expect(told(both(-59)).map(({ aspect }) => aspect)).toStrictEqual(["bass", "distortion"]);
  });

  it("tells a make that alone shows it by its family, and all makes of an input by the input", () => {
    const makes = (old: number, renewed: number) =>
      brief([
        ...[1, 2, 3].map((k) => path(k, "mic", { hiss: old }, { family: "mic, old" })),
        ...[4, 5, 6].map((k) => path(k, "mic", { hiss: renewed }, { family: "mic, renewed" })),
      ]);
    expect(makes(-60, -104)).toStrictEqual([["family", "mic, old", "noise"]]);
    expect(makes(-104, -60)).toStrictEqual([["family", "mic, renewed", "noise"]]);
    expect(makes(-60, -60)).toStrictEqual([["master", undefined, "noise"]]);
    const both = (line: number) => [
      ...[1, 2, 3].map((k) => path(k, "mic", { hiss: -60 }, { family: "mic, old" })),
      ...[4, 5, 6].map((k) => path(k, "mic", { hiss: -62 }, { family: "mic, renewed" })),
      ...[1, 2, 3].map((k) => path(k, "line", { hiss: line })),
    ];
    const [input] = told(both(-104));
    expect(input).toMatchObject({ part: { kind: "input", name: "mic" } });
    expect(input.paths).toStrictEqual([1, 2, 3, 4, 5, 6].map((k) => `${k}/mic`));
  });

  describe("lies behind the place where inputs join", () => {
    const parts = (...levels: readonly number[]) =>
      brief(
        levels.flatMap((hiss, k) => strips({ hiss }, ["mic", "line", "tape"][k])),
        { nominalDbu: {} },
      );
    const all = [["master", undefined, "noise"]];
    const inputs = (...named: readonly string[]) => named.map((name) => ["input", name, "noise"]);

    it("where a floor is alike on them within 6 dB", () => {
      expect(parts(-80, -86)).toStrictEqual(all);
      expect(parts(-80, -86.1)).toStrictEqual(inputs("mic", "line"));
      expect(parts(-86.1, -80)).toStrictEqual(inputs("line", "mic"));
    });

    it("where what others have may hide it: no more than 3 dB below", () => {
      expect(parts(-86, -86, -89)).toStrictEqual(all);
      expect(parts(-86, -84, -89)).toStrictEqual(all);
      expect(parts(-86, -84, -89.1)).toStrictEqual(inputs("line", "mic"));
    });

    it("where a loss is alike on all of them, within a decibel or three tenths of it", () => {
      const lost = (...losses: readonly number[]) =>
        brief(
          losses.flatMap((db, k) =>
            [1, 2, 3].map((n) =>
              path(
                n,
                ["mic", "line"][k],
                {},
                { curves: bent([22, 28, 56, 110], Array(4).fill(db)) },
              ),
            ),
          ),
        ).map(([kind, name]) => [kind, name]);
      expect(lost(-5, -5)).toStrictEqual([["master", undefined]]);
      // Beyond −3 dB by 2 and by 3 at most; by 5 and by 6.5.
      expect(lost(-5, -6)).toStrictEqual([["master", undefined]]);
      expect(lost(-5, -6.1)).toStrictEqual([
        ["input", "line"],
        ["input", "mic"],
      ]);
      expect(lost(-11, -8.5)).toStrictEqual([
        ["input", "mic"],
        ["input", "line"],
      ]);
      expect(lost(-11, -8.7)).toStrictEqual([["master", undefined]]);
      expect(lost(-5, 0)).toStrictEqual([["input", "mic"]]);
    });
  });

  describe("is as likely as the strips tell", () => {
    // Odds of 0.15, and by each strip that shows it 0.1^−0.7 more, by each that does not as much less.
    const odds = (showing: number, others: number) => {
      const one = Math.exp(Math.log(0.15) - 0.7 * Math.log(0.1) * (showing - others));
      return one / (1 + one);
    };
    const probability = (paths: readonly PlacedInput[]) => told(paths)[0].probability;

    it("that show it and those that do not", () => {
      const hiss = (...values: readonly number[]) =>
        values.map((value, k) => path(k + 1, "mic", { hiss: value }));
      expect(probability(hiss(-80, -80, -80))).toBeCloseTo(odds(3, 0), 9);
      expect(probability(hiss(-80, -80, -80, -95))).toBeCloseTo(odds(3, 1), 9);
      expect(probability(hiss(-80, -80, -80, -95, -95))).toBeCloseTo(odds(3, 2), 9);
      expect(probability(strips({ hiss: -80 }, "mic", 9))).toBe(0.99);
    });

    it("each once, by whichever of its paths shows it", () => {
      const on = (mic: number, line: number) =>
        probability([
          ...strips({ hiss: -80 }, "mic", 3),
          path(4, "mic", { hiss: mic }),
          ...strips({ hiss: -80 }, "line", 3),
          path(4, "line", { hiss: line }),
        ]);
      // Four that show it would be above 0.989: of three and one that has it on one input only.
      expect(on(-104, -104)).toBeCloseTo(odds(3, 1), 9);
      expect(on(-80, -104)).toBeCloseTo(odds(4, 0), 9);
      expect(on(-104, -80)).toBeCloseTo(odds(4, 0), 9);
    });

    it("by what its own family is held to, down as well as up", () => {
      const gains = [0, -10, -10, -10].map((gain, k) => path(k + 1, "mic", { gain }));
      const [fault] = told([...gains, ...strips({}, "line")]);
      expect(fault).toMatchObject({ part: { kind: "input", name: "mic" }, aspect: "level" });
      expect(fault.probability).toBeCloseTo(odds(3, 1), 9);
    });
  });

  it("holds inputs fed at their nominal to one level: the higher of two, the middle of more", () => {
    const found = (...gains: readonly number[]) =>
      told(gains.flatMap((gain, k) => strips({ gain }, ["mic", "line", "tape"][k]))).map(
        ({ part, findings: [{ deviation, expected }] }) => [part.name, deviation, expected],
      );
    expect(found(0, -3)).toStrictEqual([["line", -3, 0]]);
    expect(found(-3, 0)).toStrictEqual([["mic", -3, 0]]);
    expect(found(0, -2.9)).toStrictEqual([]);
    expect(found(0, -3, -10)).toStrictEqual([
      ["tape", -7, -3],
      ["mic", 3, -3],
    ]);
    expect(found(-30)).toStrictEqual([]);
  });

  it("holds floors to what the family carries, or the others where it has lost its level", () => {
    const found = (level: number, hiss: number) =>
      told([...strips({ level, hiss }), ...strips({}, "line")])
        .filter(({ aspect }) => aspect === "noise")
        .map(({ findings: [{ expected }] }) => expected);
    expect(found(-21, -89.5)).toStrictEqual([-91]);
    expect(found(-21.1, -89.5)).toStrictEqual([]);
    expect(found(-21.1, -87)).toStrictEqual([-88]);
    expect(found(-37.9, -60)).toStrictEqual([-88]);
    expect(found(-38, -60)).toStrictEqual([]);
  });

  describe("held against an earlier round", () => {
    const since = (now: Values, then: Values = {}, count = 4) =>
      told(strips(now, "mic", count), { earlier: strips(then) }).map(
        ({ aspect, findings: [{ deviation, expected, value }] }) => ({
          aspect,
          deviation,
          expected,
          value,
        }),
      );
    const aspects = (now: Values) => since(now).map(({ aspect }) => aspect);

    it("is a change that matters: 4 dB of noise, 8 of distortion, 2 of the level", () => {
      expect(since({ hiss: -100 })).toStrictEqual([
        { aspect: "noise", deviation: 4, expected: -104, value: -100 },
      ]);
      expect(aspects({ hiss: -100.1 })).toStrictEqual([]);
      expect(aspects({ hiss: -120 })).toStrictEqual([]);
      expect([aspects({ thd: -82 }), aspects({ thd: -82.1 })]).toStrictEqual([["distortion"], []]);
      expect([aspects({ gain: -2 }), aspects({ gain: -1.9 })]).toStrictEqual([["level"], []]);
      expect([aspects({ gain: 2 }), aspects({ gain: 1.9 })]).toStrictEqual([["level"], []]);
      expect(aspects({ humEven: -110 })).toStrictEqual(["hum-even"]);
    });

    it("is a floor only by what it rose against the tone as well as by itself", () => {
      // No bound but the earlier round: any noise keeps to 40 dB above the tone.
      const expectations = { ...defaultExpectations, noise: { value: 40, unit: "dB" } } as const;
      const noise = (level: number, hiss: number) =>
        told(strips({ level, hiss }), { expectations, earlier: strips({}) }).flatMap(
          ({ aspect, findings: [{ deviation }] }) => (aspect === "noise" ? [deviation] : []),
        );
      expect(noise(-15, -98)).toStrictEqual([]);
      expect(noise(-15, -97)).toStrictEqual([4]);
      expect(noise(-21, -98)).toStrictEqual([6]);
      // From 20 dB of lost level on a path says nothing but that.
      expect(noise(-37.9, -90)).toStrictEqual([14]);
      expect(noise(-38, -90)).toStrictEqual([]);
    });

    it("is a loss at the ends of the band, and no gain there", () => {
      const bass = (db: number) => {
        const of = (at: number) =>
          [1, 2, 3].map((k) =>
            path(k, "mic", {}, { curves: bent([22, 28, 56, 110], Array(4).fill(at)) }),
          );
        return told(of(db), { earlier: of(0) }).map(({ aspect }) => aspect);
      };
      expect([bass(-1), bass(-0.9), bass(1), bass(2.5)]).toStrictEqual([["bass"], [], [], []]);
    });

    it("is told by two pairs of paths, and by half of those that there are", () => {
      const pairs = (both: number, of: number) => {
        const now = strips({ hiss: -95 }, "mic", of);
        // The others lack the reading now.
        const some = now.map((one, k): PlacedInput => {
          if (k < both || one.measurement === undefined) return one;
          const { hiss: _, ...readings } = one.measurement.readings;
          return { ...one, measurement: { ...one.measurement, readings } };
        });
        return told(some, { earlier: strips({}, "mic", of) }).length;
      };
      expect([pairs(1, 3), pairs(2, 3), pairs(2, 4), pairs(2, 5)]).toStrictEqual([0, 1, 1, 0]);
      expect(told(strips({ hiss: -95 }), { earlier: strips({}, "line") })).toStrictEqual([]);
      expect(since({ hiss: -95 }, {}, 3)).toHaveLength(1);
    });
  });

  describe("held against the other side of the bus", () => {
    const sides = (now: Values, other: Values = {}, count = 4) =>
      compareWithOther(strips(now, "mic", count), strips(other), {
        expectations: defaultExpectations,
      }).map(({ aspect, against, severity }) => [aspect, against, severity]);

    it("is what is worse on this side alone", () => {
      expect(sides({ hiss: -100 })).toStrictEqual([["noise", "other-side", "watch"]]);
      expect(sides({ hiss: -98 })).toStrictEqual([["noise", "other-side", "service"]]);
      expect(sides({ hiss: -108 })).toStrictEqual([]);
      expect(sides({ hiss: -98 }, {}, 2)).toStrictEqual([]);
      expect(sides({ hiss: -98 }, {}, 3)).toHaveLength(1);
    });

    it("is a level that is lower by 3 dB, and none that is higher", () => {
      expect(sides({ gain: -3 })).toStrictEqual([["level", "other-side", "watch"]]);
      expect(sides({ gain: -4.5 })).toStrictEqual([["level", "other-side", "service"]]);
      expect(sides({ gain: -2.9 })).toStrictEqual([]);
      expect(sides({ gain: 6 })).toStrictEqual([]);
    });

    it("is no distortion 20 dB below what is expected of such a desk", () => {
      expect(sides({ thd: -79.9 }).map(([aspect]) => aspect)).toStrictEqual(["distortion"]);
      expect(sides({ thd: -80.1 })).toStrictEqual([]);
    });

    it("asks for measured paths", () => {
      const bare = strips({ hiss: -90 }).map(({ measurement: _, ...one }) => one);
      expect(
        compareWithOther(bare, strips({}), { expectations: defaultExpectations }),
      ).toStrictEqual([]);
    });
  });

  it("takes for one fault what a floor that rises reaches into", () => {
    const found = (values: Values) =>
      told(strips({ ...values }), { earlier: strips({}) }).map(({ aspect, findings }) => [
        aspect,
        ...findings.map(({ reading }) => reading),
      ]);
    // Noise up by 30, lines by 20, harmonics by 10: they drown in it.
    expect(found({ hiss: -74, humEven: -108, thd: -80 })).toStrictEqual([
      ["noise", "hiss", "humEven", "thd"],
    ]);
    // Lines that rise by more are a fault of their own, and the noise beside them is theirs.
    expect(found({ hiss: -98, humEven: -88 }).map(([aspect]) => aspect)).toStrictEqual([
      "hum-even",
    ]);
    expect(
      found({ hiss: -98, thd: -70 })
        .map(([aspect]) => aspect)
        .sort(),
    ).toStrictEqual(["distortion", "noise"]);
    expect(
      found({ hiss: -74, gain: -4 })
        .map(([aspect]) => aspect)
        .sort(),
    ).toStrictEqual(["level", "noise"]);
  });

  describe("concerns", () => {
    const mic = (hiss: number, family: string, ...numbers: readonly number[]) =>
      numbers.map((k) => path(k, "mic", { hiss }, { family }));

    it("the paths of the make that shows it, or all of the input where several makes do", () => {
      const [one] = told([...mic(-60, "mic, old", 1, 2, 3), ...mic(-104, "mic, new", 4, 5, 6)]);
      expect(one.paths).toStrictEqual(["1/mic", "2/mic", "3/mic"]);
      const three = [
        ...mic(-60, "mic, old", 1, 2, 3),
        ...mic(-60, "mic, new", 4, 5, 6),
        ...mic(-104, "mic, rare", 7, 8, 9),
      ];
      expect(brief([...three, ...strips({}, "line")])).toStrictEqual([["input", "mic", "noise"]]);
    });

    it("no family of one beside others, nor a reading that no more than half of it have", () => {
      expect(brief([...strips({}), ...strips({ hiss: -60 }, "line", 1)])).toStrictEqual([]);
      expect(brief([...strips({}), ...strips({ hiss: -60 }, "line", 2)])).toStrictEqual([
        ["input", "line", "noise"],
      ]);
      const some = (having: number) =>
        strips({ thdHot: -5 }).map((one, k): PlacedInput => {
          if (k < having || one.measurement === undefined) return one;
          const { thdHot: _, ...readings } = one.measurement.readings;
          return { ...one, measurement: { ...one.measurement, readings } };
        });
      expect([brief(some(2)).length, brief(some(3)).length]).toStrictEqual([0, 1]);
    });

    it("no figure that is a bound for more than half of the family", () => {
      const bounded = (count: number) =>
        strips({ headroom: -20 }).map((one, k): PlacedInput => {
          if (k >= count || one.measurement === undefined) return one;
          const { headroom } = one.measurement.readings;
          const readings = {
            ...one.measurement.readings,
            headroom: { ...headroom, bound: "upper" as const },
          };
          return { ...one, measurement: { ...one.measurement, readings } };
        });
      expect([2, 3].map((count) => told(bounded(count)).length)).toStrictEqual([1, 0]);
    });
  });

  it("names the worse lines of one input alone first as well", () => {
    const found = (humOdd: number, humEven: number) =>
      told([...strips({ humOdd, humEven }), ...strips({}, "line")]).map(
        ({ part, aspect, findings }) => [part.name, aspect, ...findings.map((one) => one.reading)],
      );
    expect(found(-68, -58)).toStrictEqual([["mic", "hum-even", "humEven", "humOdd"]]);
    expect(found(-58, -68)).toStrictEqual([["mic", "hum-odd", "humOdd", "humEven"]]);
  });

  it("lists what one mechanism moved by how far it is beyond, each reading once", () => {
    const { distortionDb, overloadDb, headroomDb } = defaultExpectations;
    // In floors of 6, 6 and 1.5 dB.
    const found = (thd: number, hot: number, headroom: number) =>
      told(
        strips({
          thd: distortionDb + 6 * thd,
          thdHot: overloadDb + 6 * hot,
          headroom: headroomDb - 1.5 * headroom,
        }),
      ).map(({ findings }) => findings.map((one) => one.reading));
    expect(found(1, 2, 3)).toStrictEqual([["headroom", "thdHot", "thd"]]);
    expect(found(2, 1, 3)).toStrictEqual([["headroom", "thd", "thdHot"]]);
    expect(found(3, 1, 2)).toStrictEqual([["thd", "headroom", "thdHot"]]);
  });

  it("tells a tone of noise alone, and a frequency of curves alone", () => {
    const tone = { strayTone: -60, strayToneHz: 8000 };
    const [noise] = told(strips({ hiss: -60, ...tone }));
    expect(noise.findings[0]).toMatchObject({ reading: "hiss", toneHz: 8000 });
    expect(noise.findings[0]).not.toHaveProperty("atHz");
    const [hum] = told(strips({ humEven: -50, hiss: -104, strayTone: -104, strayToneHz: 8000 }));
    expect(hum.findings[0]).toMatchObject({ reading: "humEven" });
    expect(hum.findings[0]).not.toHaveProperty("toneHz");
  });

  it("judges a path without a level by what needs none", () => {
    const bare = (values: Values) => {
      const one = path(1, "mic", values);
      const { level: _, ...readings } = one.measurement?.readings ?? {};
      return { ...one, measurement: { readings, absent: {}, curves: {} } };
    };
    const found = (values: Values, more: Partial<DeskReference> = {}) =>
      findBeyondExpectation(bare(values), { ...reference, ...more }).map(({ reading }) => reading);
    expect(found({ hiss: -20, humEven: -20, thd: -20 })).toStrictEqual(["thd"]);
    const { noise, hum } = defaultExpectations;
    const expectations = {
      ...defaultExpectations,
      noise: { ...noise, value: -70, unit: "dBu" },
      hum: { ...hum, value: -50, unit: "dBu" },
    } as const;
    expect(found({ hiss: -20, humEven: -20 }, { expectations, unit: "dBu" }).sort()).toStrictEqual([
      "hiss",
      "humEven",
      // 10 dB below such hiss.
      "humOdd",
    ]);
    // Since an earlier round its noise rose by what it rose.
    const without = (values: Values) =>
      [1, 2, 3].map((k) => ({ ...bare(values), path: `${k}/mic`, strip: `${k}` }));
    const rose = (now: readonly PlacedInput[], earlier: readonly PlacedInput[]) =>
      told(now, { earlier }).map(({ aspect, findings: [one] }) => [aspect, one.deviation]);
    expect(rose(without({ hiss: -95 }), without({}))).toStrictEqual([["noise", 9]]);
    expect(rose(strips({ hiss: -95 }, "mic", 3), without({}))).toStrictEqual([["noise", 9]]);
    expect(rose(without({ hiss: -95 }), strips({}))).toStrictEqual([["noise", 9]]);
  });

  it("takes of two inputs that are turned against each other the inverted one", () => {
    const turned = (mic: number, line: number) =>
      told([...strips({ polarity: mic }), ...strips({ polarity: line }, "line")]).map(
        ({ part, findings: [{ value, expected, deviation }] }) => [
          part.name,
          value,
          expected,
          deviation,
        ],
      );
    expect(turned(1, -1)).toStrictEqual([["line", -1, 1, -2]]);
    expect(turned(-1, 1)).toStrictEqual([["mic", -1, 1, -2]]);
    expect(turned(-1, -1)).toStrictEqual([]);
    expect(brief(strips({ polarity: -1 }))).toStrictEqual([]);
    const makes = [1, -1].flatMap((polarity, make) =>
      [1, 2, 3].map((k) => path(3 * make + k, "mic", { polarity }, { family: `mic, ${make}` })),
    );
    expect(brief(makes)).toStrictEqual([]);
  });

  it("holds a calibrated desk to the level at its output, up and down", () => {
    // All come back at +4 dBu, save one input by so much.
    const found = (off: number) =>
      told([...strips({ level: 4, gain: 44 }), ...strips({ level: 4 + off, gain: off }, "line")], {
        unit: "dBu",
      }).map(({ part, findings: [one] }) => [part.name, one.deviation, one.value, one.expected]);
    expect(found(-5)).toStrictEqual([["line", -5, -5, 0]]);
    expect(found(5)).toStrictEqual([["line", 5, 5, 0]]);
    expect(found(2.9)).toStrictEqual([]);
  });

  it("says nothing of two makes of one input that differ in level", () => {
    const makes = [0, -10].flatMap((gain, make) =>
      [1, 2, 3].map((k) => path(3 * make + k, "mic", { gain }, { family: `mic, ${make}` })),
    );
    expect(brief(makes)).toStrictEqual([]);
  });

  describe("changed on several inputs since an earlier round", () => {
    // No bound but the earlier round: anything keeps to 40 dB above the tone.
    const most = { value: 40, unit: "dB" } as const;
    const expectations = { ...defaultExpectations, noise: most, hum: most };
    const since = (
      now: readonly (readonly [Values, string, number?])[],
      then: readonly (readonly [Values, string])[],
    ) =>
      told(
        now.flatMap(([values, input, count]) => strips(values, input, count)),
        { expectations, earlier: then.flatMap(([values, input]) => strips(values, input)) },
      );
    const hissOf = (mic: readonly [number, number], line: readonly [number, number]) =>
      since(
        [
          [{ hiss: mic[1] }, "mic"],
          [{ hiss: line[1] }, "line"],
        ],
        [
          [{ hiss: mic[0] }, "mic"],
          [{ hiss: line[0] }, "line"],
        ],
      ).flatMap(({ part, aspect }) => (aspect === "noise" ? [part.kind] : []));

    it("is the level where all of them changed alike", () => {
      const [fault, ...others] = since(
        [
          [{ gain: -3 }, "mic"],
          [{ gain: -3 }, "line"],
        ],
        [
          [{}, "mic"],
          [{}, "line"],
        ],
      );
      expect(others).toStrictEqual([]);
      expect(fault).toMatchObject({ part: { kind: "level" }, aspect: "level" });
    });

    it("is behind where they join by what was added, not by what there is", () => {
      // −70 to −66 dB adds −68.2, and −104 to −73.9 adds −73.9: within 6 dB.
      expect(hissOf([-104, -73.9], [-70, -66])).toStrictEqual(["master"]);
      expect(hissOf([-104, -74.5], [-70, -66])).toStrictEqual(["input", "input"]);
    });

    it("is behind it too where what there was hides it", () => {
      // −60 to −55.9 dB adds −58.04, of which 6 dB less is −64.04; 4 dB up to −64 adds −66.2.
      expect(hissOf([-60, -55.9], [-68, -64])).toStrictEqual(["master"]);
      expect(hissOf([-60, -55.9], [-68.2, -64.1])).toStrictEqual(["input", "input"]);
    });

    it("is as likely as strips show it by what their own family had then", () => {
      // Strip 4 has a line input alone, which went down; it is still louder than microphones were.
      const now = [
        ...strips({ hiss: -70 }, "mic", 3),
        ...strips({ hiss: -66 }, "line", 3),
        path(4, "line", { hiss: -85 }),
      ];
      const earlier = [...strips({}), ...strips({ hiss: -80 }, "line")];
      const [fault] = told(now, { expectations, earlier });
      expect(fault.part.kind).toBe("master");
      const one = Math.exp(Math.log(0.15) - 0.7 * Math.log(0.1) * 2);
      expect(fault.probability).toBeCloseTo(one / (1 + one), 9);
    });

    it("keeps what all inputs show apart from a rise of one of them", () => {
      const found = since(
        [
          [{ hiss: -74, humEven: -108 }, "mic"],
          [{ humEven: -108 }, "line"],
        ],
        [
          [{}, "mic"],
          [{}, "line"],
        ],
      ).map(({ part, aspect }) => [part.kind, aspect]);
      expect(found).toStrictEqual([
        ["input", "noise"],
        ["desk-supply", "hum-even"],
      ]);
    });

    it("is no hum that rose with the tone, and distortion whatever the tone did", () => {
      const aspects = (values: Values) =>
        since([[values, "mic"]], [[{}, "mic"]]).map((one) => one.aspect);
      expect(aspects({ humEven: -110 })).toStrictEqual(["hum-even"]);
      expect(aspects({ humEven: -110, level: -8 })).toStrictEqual([]);
      expect(aspects({ thd: -82, level: -8 })).toStrictEqual(["distortion"]);
    });

    it("is a loss of treble, and no gain of it", () => {
      const treble = (db: number) => {
        const of = (at: number) =>
          [1, 2, 3].map((k) =>
            path(k, "mic", {}, { curves: bent([5000, 10_000, 16_000, 18_500], Array(4).fill(at)) }),
          );
        return told(of(db), { earlier: of(0) }).map(({ aspect }) => aspect);
      };
      expect([treble(-1), treble(-0.9), treble(1), treble(2.5)]).toStrictEqual([
        ["treble"],
        [],
        [],
        [],
      ]);
    });
  });

  describe("of one side against the other", () => {
    const sides = (now: Values, other: Values) =>
      compareWithOther(strips(now), strips(other), { expectations: defaultExpectations }).map(
        ({ aspect, severity }) => [aspect, severity],
      );

    it("counts noise in changes that matter, of 4 dB, and the level in 3 dB", () => {
      // 1.25 of them, and 1.5 from where it wants service.
      expect(sides({ hiss: -99 }, {})).toStrictEqual([["noise", "watch"]]);
      expect(sides({ gain: -4.4 }, {})).toStrictEqual([["level", "watch"]]);
    });

    it("tells headroom that is far lower, and distortion that just matters", () => {
      const { headroomDb, distortionDb } = defaultExpectations;
      expect(sides({ headroom: headroomDb - 25 }, { headroom: headroomDb })).toStrictEqual([
        ["clipping", "service"],
      ]);
      expect(sides({ thd: distortionDb - 20 }, {})).toStrictEqual([["distortion", "watch"]]);
    });

    it("asks for three paths that were measured", () => {
      const { measurement: _, ...bare } = path(3, "mic");
      const two = [...strips({ hiss: -60 }, "mic", 2), bare];
      expect(
        compareWithOther(two, strips({}), { expectations: defaultExpectations }),
      ).toStrictEqual([]);
    });
  });
});
