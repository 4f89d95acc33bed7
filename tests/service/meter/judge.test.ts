import { describe, expect, it, test } from "vitest";
import { wordMeterVerdict } from "../../../src/report/meter/format-meter.js";
import {
  isRaisedBySupply,
  judgeMeter as judge,
  listMeterFindings,
  type MeterLine,
} from "../../../src/service/meter/judge.js";
import type { Entry } from "../../../src/service/notebook/types.js";

const judgeMeter = (...given: Parameters<typeof judge>) => wordMeterVerdict(judge(...given));

// Phantom: IEC 61938, 48 V ± 4 V through 6.8 kΩ, matched within 0.4 %. Tolerances of parts in place,
// digits of a meter and volts that an op amp gives: common practice.

type Value = MeterLine["values"][number];

function line(what: MeterLine["what"], values: readonly Partial<Value>[], more = {}): MeterLine {
  return {
    note: 1,
    id: "n1",
    date: "2031-03-14T12:00:00Z",
    kind: "meter",
    strip: "6",
    what,
    values: values.map((value) => ({ at: "value", unit: "V", value: 0, ...value })) as Value[],
    text: "",
    ...more,
  } as MeterLine;
}
const entry = (one: MeterLine): Entry => ({ id: "n9", line: one, at: 1, corrections: [] });
const pins = (a: number, b: number, more = {}) =>
  line(
    "phantom",
    [
      { at: "pin 2", value: a, nominal: 48 },
      { at: "pin 3", value: b, nominal: 48 },
    ],
    more,
  );

describe("phantom", () => {
  it.each([
    [44, 44, "in"],
    [43.9, 43.9, "out"],
    [52, 52, "in"],
    [52.1, 52.1, "out"],
    // 0.4 % of 48 V and two digits of the meter: 0.39 V
    [48, 47.61, "in"],
    [48, 47.6, "out"],
    [47.6, 48, "out"],
  ])("%d V and %d V: %s", (a, b, verdict) => {
    expect(judgeMeter(pins(a, b)).verdict).toBe(verdict);
  });

  it("too high is the supply's regulator, whatever the other pin has", () => {
    expect(judgeMeter(pins(60, 44)).pointsTo[0]).toMatch(/regulator/);
    expect(judgeMeter(pins(43, 43)).pointsTo.join()).not.toMatch(/regulator/);
  });

  it("reckons the leak on the lower pin by Ohm's law, whichever it is", () => {
    // 13.6 V over 6.8 kΩ: 2 mA
    expect(judgeMeter(pins(34.4, 48)).pointsTo[0]).toMatch(/^pin 2:.*2\.0 mA/);
    expect(judgeMeter(pins(48, 34.4)).pointsTo[0]).toMatch(/^pin 3:.*2\.0 mA/);
  });

  it("next to nothing on a pin is an open feed: below 2 % of nominal", () => {
    expect(judgeMeter(pins(0.95, 48)).pointsTo[0]).toMatch(/open/);
    expect(judgeMeter(pins(0.97, 48)).pointsTo[0]).not.toMatch(/open/);
  });

  it("both pins low is the strip's feed, or the supply where another strip has it too", () => {
    const low = pins(40, 40);
    const alone = judgeMeter(low).pointsTo.join();
    expect(alone).toMatch(/strip's phantom switch/);
    const others = (strip: string, a: number, b: number) =>
      judgeMeter(low, [entry(pins(a, b, { strip }))]).pointsTo.join();
    expect(others("7", 40, 40)).toMatch(/shared supply.*strip 7/);
    expect(others("7", 48, 48)).toBe(alone);
    expect(others("7", 40, 48)).toBe(alone);
    expect(others("6", 40, 40)).toBe(alone);
    expect(judgeMeter(pins(40, 47), []).pointsTo.join()).not.toMatch(/switch/);
  });
});

describe("rails", () => {
  const rails = (a: number, b: number, more = {}) =>
    line(
      "rail",
      [
        { at: "+", value: a, nominal: 15, tolerance: 0.75 },
        { at: "−", value: b, nominal: -15, tolerance: 0.75 },
      ],
      more,
    );

  it.each([
    [15.75, -15.75, "in"],
    [15.76, -15, "out"],
    [14.25, -14.25, "in"],
    [15, -14.24, "out"],
  ])("%d V and %d V: %s", (a, b, verdict) => {
    expect(judgeMeter(rails(a, b)).verdict).toBe(verdict);
  });

  // A strip's fuse and feed resistor can only lower its rail (Ohm's law); an open ground moves both
  // rails by one voltage.
  it("a rail above its voltage is the supply's, unless the ground has moved", () => {
    expect(judgeMeter(rails(18, -15)).pointsTo[0]).toMatch(/regulator/);
    expect(judgeMeter(rails(15, -17.5)).pointsTo[0]).toMatch(/regulator/);
    expect(judgeMeter(rails(17.5, -12.5)).pointsTo[0]).toMatch(/ground/);
    expect(judgeMeter(rails(12, -15)).pointsTo[0]).toMatch(/draws too much/);
  });

  it("a dead rail has below a tenth of its voltage", () => {
    expect(judgeMeter(rails(1.49, -15)).pointsTo[0]).toMatch(/fuse/);
    expect(judgeMeter(rails(15, -1.49)).pointsTo[0]).toMatch(/fuse/);
    expect(judgeMeter(rails(1.51, -15)).pointsTo[0]).not.toMatch(/fuse/);
  });

  it("is the supply's where no strip is named or another has it too", () => {
    const { strip: _, ...nowhere } = rails(12, -15);
    expect(judgeMeter(nowhere as MeterLine).pointsTo[0]).toMatch(/licensed/);
    const other = entry(rails(12, -12, { strip: "8" }));
    expect(judgeMeter(rails(12, -15), [other]).pointsTo[0]).toMatch(/strip 8.*licensed/);
    expect(judgeMeter(rails(12, -15)).pointsTo[0]).not.toMatch(/licensed/);
  });

  it("is not judged where nobody said what it ought to be", () => {
    const bare = line("rail", [{ at: "+", value: 12 }]);
    expect(judgeMeter(bare)).toMatchObject({ verdict: "unjudged", pointsTo: [], findings: [] });
  });
});

describe("rails of which nobody said what they ought to be", () => {
  const pair = (plus: number, minus: number) =>
    judgeMeter(
      line("rail", [
        { at: "plus", value: plus },
        { at: "minus", value: minus },
      ]),
    );

  it("are not judged, but told from each other where they are unlike", () => {
    expect(pair(17, -12)).toMatchObject({
      verdict: "unjudged",
      remarks: [expect.stringMatching(/differ by 5 V/)],
    });
    expect(pair(17, -16.5).remarks).toStrictEqual([]);
    expect(judgeMeter(line("rail", [{ at: "+", value: 12 }])).remarks).toStrictEqual([]);
  });
});

describe("direct voltage", () => {
  const direct = (value: number) => line("direct", [{ value, nominal: 0 }]);

  it.each([
    [0.02, "in"],
    [0.021, "out"],
    [-0.02, "in"],
    [-0.021, "out"],
  ])("%d V: %s", (value, verdict) => {
    expect(judgeMeter(direct(value)).verdict).toBe(verdict);
  });

  it("from a volt on is an op amp's, below it a leak", () => {
    expect(judgeMeter(direct(1)).pointsTo[0]).toMatch(/op amp/);
    expect(judgeMeter(direct(-1)).pointsTo[0]).toMatch(/op amp/);
    expect(judgeMeter(direct(0.99)).pointsTo[0]).toMatch(/capacitor/);
  });

  it("warns of gain that follows from a millivolt on", () => {
    expect(judgeMeter(direct(0.0009)).remarks).toStrictEqual([]);
    expect(judgeMeter(direct(0.001)).remarks).toHaveLength(1);
    expect(judgeMeter(direct(-0.001)).remarks).toHaveLength(1);
  });

  // 40 dB are a factor of 100.
  it.each([
    [0.003, "mic input, 40 dB", "out"],
    [0.0001, "mic input, 40 dB", "in"],
    [0.00021, "mic input, 60 dB", "in"],
    [0.0015, "line amp, 20 dB", "in"],
    [0.0021, "line amp, 20 dB", "out"],
    [0.019, "gain control", "unjudged"],
    [0.0005, "gain control", "in"],
    [0.12, "gain control", "out"],
    [0.019, "fader", "in"],
  ])("of %d V at %s is %s", (value, part, verdict) => {
    expect(judgeMeter({ ...direct(value), part }).verdict).toBe(verdict);
  });
});

describe("parts in place", () => {
  const resistor = (value: number, nominal = 1000) =>
    line("resistor", [{ unit: "Ω", value, nominal }], { part: "R3" });
  const capacitor = (value: number) =>
    line("capacitor", [{ unit: "F", value, nominal: 100e-6 }], { part: "C3" });

  it.each([
    // ± 5 % in place, ± 20 % for an electrolytic
    [resistor(950), "in"],
    [resistor(949), "out"],
    [resistor(1050), "in"],
    [resistor(1051), "out"],
    [capacitor(80e-6), "in"],
    [capacitor(79e-6), "out"],
    [capacitor(120e-6), "in"],
    [capacitor(121e-6), "out"],
    [line("resistor", [{ unit: "Ω", value: 1 }]), "unjudged"],
  ])("case %#: %s", (one, verdict) => {
    expect(judgeMeter(one).verdict).toBe(verdict);
  });

  it("in parallel a resistor can only read low, a capacitor only high", () => {
    expect(judgeMeter(resistor(500)).pointsTo[0]).toMatch(/parallel.*lift one end/);
    expect(judgeMeter(resistor(2000)).pointsTo[0]).toMatch(/out of tolerance or open/);
    expect(judgeMeter(capacitor(50e-6)).pointsTo[0]).toMatch(/dried out/);
    expect(judgeMeter(capacitor(200e-6)).pointsTo[0]).toMatch(/parallel.*lift one end/);
  });

  it("feed resistors must match within 0.4 %", () => {
    const feed = (value: number, part: string) =>
      line("resistor", [{ unit: "Ω", value, nominal: 6800 }], { part });
    const judged = (other: number) =>
      judgeMeter(feed(6800, "feed 2"), [entry(feed(other, "feed 3"))]).verdict;
    // 2 · 27/(6800 + 6827) = 0.396 %; 28: 0.411 %
    expect([6827, 6828, 6773, 6772].map(judged)).toStrictEqual(["in", "out", "in", "out"]);
    expect(judgeMeter(feed(6800, "feed 2")).remarks[0]).toMatch(/other feed resistor/);
    expect(judgeMeter(feed(6800, "R7")).remarks[0]).toMatch(/if it feeds phantom/);
    expect(judgeMeter(resistor(1000)).remarks).toStrictEqual([]);
    const elsewhere = { ...feed(6000, "feed 3"), strip: "7" } as MeterLine;
    expect(judgeMeter(feed(6800, "feed 2"), [entry(elsewhere)]).verdict).toBe("in");
  });
});

test("voltages of a strip are evidence, parts and voltages of no strip are not", () => {
  expect(listMeterFindings(pins(40, 48))).toStrictEqual([
    { strip: "6", kind: "phantom", value: 40, nominal: 48 },
    { strip: "6", kind: "phantom", value: 48, nominal: 48 },
  ]);
  expect(listMeterFindings(pins(40, 48, { input: "mic" }))[0]).toMatchObject({ input: "mic" });
  expect(
    listMeterFindings(line("rail", [{ value: 12, nominal: 15, tolerance: 1 }, { value: 3 }])),
  ).toStrictEqual([{ strip: "6", kind: "rail", value: 12, nominal: 15, tolerance: 1 }]);
  expect(listMeterFindings(line("resistor", [{ unit: "Ω", value: 1, nominal: 2 }]))).toStrictEqual(
    [],
  );
  expect(listMeterFindings(line("capacitor", [{ unit: "F", value: 1, nominal: 2 }]))).toStrictEqual(
    [],
  );
  const { strip: _, ...nowhere } = pins(40, 48);
  expect(listMeterFindings(nowhere as MeterLine)).toStrictEqual([]);
});

describe("as data", () => {
  const codes = (one: MeterLine, others: readonly MeterLine[] = []) =>
    judge(one, others.map(entry)).pointsTo.map(({ code }) => code);
  const nowhere = { strip: undefined };

  it("phantom points to no pin where both are alike, and to one where they are not", () => {
    expect(codes(pins(40, 40))).toStrictEqual(["phantom-switch"]);
    expect(codes(pins(40, 48))).toStrictEqual(["feed-leak", "feed-off-value"]);
    expect(codes(pins(0.5, 48))).toStrictEqual(["feed-open"]);
    // 2 % of 48 V are 0.96 V: from there on it is a leak.
    expect(codes(pins(0.96, 48))).toStrictEqual(["feed-leak", "feed-off-value"]);
    expect(codes(pins(30, 40))).toStrictEqual(["feed-leak", "feed-off-value", "phantom-switch"]);
    expect(codes(pins(53, 48))).toStrictEqual(["phantom-regulator", "wrong-phantom-nominal"]);
    // Both low, and no further apart than matched feeds let them be: 0.39 V.
    expect(codes(pins(40, 40.39))).toStrictEqual(["phantom-switch"]);
    // One pin alone differs from none.
    const one = line("phantom", [{ at: "pin 2", value: 40, nominal: 48 }]);
    expect(codes(one)).toStrictEqual(["phantom-switch"]);
  });

  it("reckons a leak of 24 V through 1.2 kΩ, and how far its pins may be apart", () => {
    // IEC 61938 (from memory): P24, 24 V ± 4 V through 1.2 kΩ. 12 V over 1.2 kΩ are 10 mA.
    const p24 = (a: number, b: number) =>
      line("phantom", [
        { at: "pin 2", value: a, nominal: 24 },
        { at: "pin 3", value: b, nominal: 24 },
      ]);
    expect(judge(p24(12, 24)).pointsTo[0]).toStrictEqual({
      code: "feed-leak",
      at: "pin 2",
      amps: expect.closeTo(0.01, 12),
      ohm: 1200,
    });
    // 0.4 % of 24 V and the meter's 0.2 V: 0.296 V, to the hundredth 0.3 V.
    expect(judge(p24(24, 23.7)).verdict).toBe("in");
    expect(judge(p24(24, 23.69))).toMatchObject({
      verdict: "out",
      said: [{ code: "pins-differ", apart: 0.31 }],
      remarks: [{ code: "matched-feeds", most: 0.3 }],
    });
  });

  it("judges pins of which nobody said what they ought to be by each other, as of 48 V", () => {
    const bare = (a: number, b: number) =>
      judge(
        line("phantom", [
          { at: "pin 2", value: a },
          { at: "pin 3", value: b },
        ]),
      ).verdict;
    // 0.4 % of 48 V and 0.2 V: 0.39 V.
    expect(bare(40, 40.39)).toBe("in");
    expect(bare(40, 40.4)).toBe("out");
  });

  it("lays phantom that is low on no strip, or at a supply, to the supply", () => {
    expect(codes(pins(40, 40, nowhere))).toStrictEqual(["phantom-supply"]);
    expect(codes(pins(40, 48, nowhere))).toStrictEqual(["feed-leak", "feed-off-value"]);
    const at = (sectionKind: string) =>
      codes(pins(40, 40, { ...nowhere, section: "there", sectionKind }));
    expect(at("supply")).toStrictEqual(["phantom-supply"]);
    expect(at("group")).toStrictEqual(["phantom-switch"]);
  });

  it("names each other strip once, by readings of the same kind that are out on both pins", () => {
    const seven = pins(40, 40, { strip: "7" });
    const rail = line("rail", [{ at: "plus", value: 3, nominal: 17 }], { strip: "8" });
    const shared = (...others: readonly MeterLine[]) =>
      judge(pins(40, 40), others.map(entry)).pointsTo;
    expect(shared(seven, seven)).toStrictEqual([{ code: "phantom-shared", strips: ["7"] }]);
    expect(shared(rail)).toStrictEqual([{ code: "phantom-switch" }]);
    expect(shared(pins(40, 40, nowhere))).toStrictEqual([{ code: "phantom-switch" }]);
    const fault = { ...seven, kind: "fault" } as unknown as MeterLine;
    expect(shared(fault)).toStrictEqual([{ code: "phantom-switch" }]);
  });

  const rails = (a: number, b: number, more = {}) =>
    line(
      "rail",
      [
        { at: "plus", value: a, nominal: 15 },
        { at: "minus", value: b, nominal: -15 },
      ],
      more,
    );

  it("rails point to fuse, load, ground or regulator", () => {
    expect(codes(rails(12, -15))).toStrictEqual(["rail-overload", "supply-if-next-too"]);
    // Below a tenth of 15 V.
    expect(codes(rails(1.49, -15))).toStrictEqual(["rail-fuse", "supply-if-next-too"]);
    expect(codes(rails(1.5, -15))).toStrictEqual(["rail-overload", "supply-if-next-too"]);
    expect(codes(rails(18, -15))).toStrictEqual(["rail-regulator"]);
    expect(codes(rails(18, -12))).toStrictEqual(["strip-ground", "rail-regulator"]);
    expect(codes(rails(12, -15), [rails(12, -12, { strip: "8" })])).toStrictEqual(["rails-shared"]);
    expect(codes(rails(12, -15, nowhere))).toStrictEqual(["rails-shared"]);
    expect(codes(rails(12, -15, { ...nowhere, section: "g", sectionKind: "group" }))).toStrictEqual(
      ["rail-overload", "supply-if-next-too"],
    );
  });

  // Each rail 5 % out of 15 V or more; both moved by one voltage within a fifth of it: the ground.
  it.each([
    [15, -15, false],
    [18, -15, true],
    [12, -15, false],
    [18, -12, false],
    [15, -18, true],
    [12, -18, false],
    // 5 V and 4.5 V differ by less than a fifth of 5 V, 5 V and 4 V by a fifth
    [20, -10.5, false],
    [20, -10.9, false],
    [20, -11, true],
    // Higher than meant, and within 5 %, beside one that is low
    [15.5, -12, false],
    [19, -10, true],
    // Moved apart, as by a regulator each
    [18, -18, true],
  ])("of %d V and %d V the supply has raised one: %s", (a, b, isRaised) => {
    expect(isRaisedBySupply(rails(a, b))).toBe(isRaised);
  });

  it("takes the ground for moved by no one rail, nor by one of which nothing is known", () => {
    const one = line("rail", [{ at: "plus", value: 18, nominal: 15 }]);
    expect(isRaisedBySupply(one)).toBe(true);
    const half = line("rail", [
      { at: "plus", value: 18, nominal: 15 },
      { at: "minus", value: -12 },
    ]);
    expect(isRaisedBySupply(half)).toBe(true);
    expect(judge(half).verdict).toBe("out");
  });

  it.each([
    // Between 9 and 50 V, and no more than a tenth of the larger apart
    [9, -9, []],
    [8.9, -8.9, ["rails-unusual"]],
    [50, -50, []],
    [50.1, -50.1, ["rails-unusual"]],
    [20, -18, []],
    [18, -20, []],
    [20, -17.9, ["rails-unlike"]],
    [17.9, -20, ["rails-unlike"]],
    [20, -8, ["rails-unusual", "rails-unlike"]],
  ])("rails of %d V and %d V that nobody can judge are odd in: %j", (a, b, odd) => {
    const bare = line("rail", [
      { at: "plus", value: a },
      { at: "minus", value: b },
    ]);
    const { verdict, remarks } = judge(bare);
    expect(verdict).toBe("unjudged");
    expect(remarks.map(({ code }) => code)).toStrictEqual(odd);
    const unlike = remarks.find((remark) => remark.code === "rails-unlike");
    if (unlike) expect(unlike).toMatchObject({ apart: Math.round(10 * Math.abs(a + b)) / 10 });
  });

  it("direct voltage that is out points to what its size says, as far as no gain is known", () => {
    const direct = (value: number, part?: string) =>
      line("direct", [{ value, nominal: 0 }], part === undefined ? {} : { part });
    expect(codes(direct(0.99))).toStrictEqual(["capacitor-leaks", "op-amp-offset"]);
    expect(codes(direct(1))).toStrictEqual(["op-amp-failed", "capacitor-shorted"]);
    expect(judge(direct(0.5)).said).toStrictEqual([{ code: "direct", values: direct(0.5).values }]);
    expect(judge(direct(0.5, "fader")).said[0]).toMatchObject({ part: "fader" });
    // 3 mV after 20 dB, which is ten times: 30 mV, where 20 mV are let pass.
    expect(judge(direct(0.003, "line amp, 20 dB"))).toMatchObject({
      verdict: "out",
      said: [{ code: "becomes-too-much", gainDb: 20, after: 0.03, most: 0.02 }],
      findings: [{ tolerance: expect.closeTo(0.002, 12) }],
    });
    // 1.5 mV after 20 dB: 15 mV.
    expect(judge(direct(0.0015, "line amp, 20 dB")).remarks).toStrictEqual([
      { code: "becomes", gainDb: 20, after: 0.015 },
    ]);
    expect(judge(direct(0.002, "line amp, 20 dB")).verdict).toBe("in");
    // Below a millivolt nothing is said.
    expect(judge(direct(0.0009, "mic input, 40 dB")).remarks).toStrictEqual([]);
    expect(judge(direct(0.001, "mic input, 40 dB")).verdict).toBe("out");
    // 6,5 dB: 2.113… times, written with a comma.
    expect(judge(direct(0.0095, "pad, 6,5 dB")).verdict).toBe("out");
    expect(judge(direct(0.0094, "pad, 6,5 dB")).verdict).toBe("in");
  });

  it("takes the other feed of the same input of the same strip, the latest", () => {
    const feed = (value: number, part: string, more: object = {}) =>
      line("resistor", [{ unit: "Ω", value, nominal: 6800 }], { part, input: "mic", ...more });
    const [own, far] = [feed(6800, "feed 2"), feed(6700, "feed 3")];
    expect(judge(own, [entry(far)])).toMatchObject({
      verdict: "out",
      // 100 Ω of their mean of 6750 Ω
      said: [{ code: "feeds-differ", part: "feed 3", share: expect.closeTo(100 / 6750, 12) }],
      pointsTo: [{ code: "replace-pair", parts: ["feed 2", "feed 3"] }],
    });
    const isPair = (other: MeterLine) => judge(own, [entry(other)]).verdict === "out";
    expect(isPair(feed(6700, "feed 2"))).toBe(false);
    expect(isPair(feed(6700, "R3"))).toBe(false);
    expect(isPair(feed(6700, "feed 3", { input: "line" }))).toBe(false);
    expect(isPair(feed(6700, "feed 3", { strip: "7" }))).toBe(false);
    expect(isPair({ ...far, what: "capacitor" } as MeterLine)).toBe(false);
    expect(isPair({ ...far, kind: "fault" } as unknown as MeterLine)).toBe(false);
    const ofOther = line("resistor", [{ unit: "Ω", value: 6700, nominal: 6810 }], far);
    expect(isPair({ ...ofOther, values: [{ ...far.values[0], nominal: 6810 }] })).toBe(false);
    expect(judge(own, [far, feed(6805, "feed 3")].map(entry)).verdict).toBe("in");
    expect(judge(own, [feed(6805, "feed 3"), far].map(entry)).verdict).toBe("out");
  });

  it("a part reads low or high under its own name, or that of its kind", () => {
    const part = (what: "resistor" | "capacitor", value: number, more: object = {}) =>
      judge(line(what, [{ unit: what === "resistor" ? "Ω" : "F", value, nominal: 100 }], more));
    expect(part("resistor", 90).pointsTo).toStrictEqual([
      { code: "resistor-reads-low", name: "resistor" },
    ]);
    expect(part("resistor", 110, { part: "R3" }).pointsTo).toStrictEqual([
      { code: "resistor-reads-high", name: "R3" },
    ]);
    expect(part("capacitor", 70).pointsTo).toStrictEqual([
      { code: "capacitor-reads-low", name: "capacitor" },
    ]);
    // ± 5 % of 100 Ω, ± 20 % of 100 F
    expect(part("resistor", 90).said).toMatchObject([{ code: "out", tolerance: 5 }]);
    expect(part("capacitor", 130).said).toMatchObject([{ code: "out", tolerance: 20 }]);
    expect(part("resistor", 100).said).toMatchObject([{ code: "in-order", tolerance: 5 }]);
  });

  it("a tolerance that was written counts, and stands in the evidence", () => {
    const read = (value: number, tolerance?: number) =>
      judge(
        line("resistor", [
          { unit: "Ω", value, nominal: 100, ...(tolerance === undefined ? {} : { tolerance }) },
        ]),
      ).verdict;
    expect([read(98, 1), read(98), read(90), read(90, 10)]).toStrictEqual([
      "out",
      "in",
      "out",
      "in",
    ]);
    expect(listMeterFindings(pins(40, 48))[0]).not.toHaveProperty("tolerance");
    expect(listMeterFindings(pins(40, 48))[0]).not.toHaveProperty("input");
  });
});
