import { describe, expect, it, test } from "vitest";
import { wordMeterVerdict } from "../../../src/report/meter/format-meter.js";
import {
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
    expect(pair(17, -16.5).remarks).toEqual([]);
    expect(judgeMeter(line("rail", [{ at: "+", value: 12 }])).remarks).toEqual([]);
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
    expect(judgeMeter(direct(0.0009)).remarks).toEqual([]);
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
    expect(judgeMeter(resistor(2000)).pointsTo[0]).toMatch(/off value or open/);
    expect(judgeMeter(capacitor(50e-6)).pointsTo[0]).toMatch(/dried out/);
    expect(judgeMeter(capacitor(200e-6)).pointsTo[0]).toMatch(/parallel.*lift one end/);
  });

  it("feed resistors must match within 0.4 %", () => {
    const feed = (value: number, part: string) =>
      line("resistor", [{ unit: "Ω", value, nominal: 6800 }], { part });
    const judged = (other: number) =>
      judgeMeter(feed(6800, "feed 2"), [entry(feed(other, "feed 3"))]).verdict;
    // 2 · 27/(6800 + 6827) = 0.396 %; 28: 0.411 %
    expect([6827, 6828, 6773, 6772].map(judged)).toEqual(["in", "out", "in", "out"]);
    expect(judgeMeter(feed(6800, "feed 2")).remarks[0]).toMatch(/other feed resistor/);
    expect(judgeMeter(feed(6800, "R7")).remarks[0]).toMatch(/if it feeds phantom/);
    expect(judgeMeter(resistor(1000)).remarks).toEqual([]);
    const elsewhere = { ...feed(6000, "feed 3"), strip: "7" } as MeterLine;
    expect(judgeMeter(feed(6800, "feed 2"), [entry(elsewhere)]).verdict).toBe("in");
  });
});

test("voltages of a strip are evidence, parts and voltages of no strip are not", () => {
  expect(listMeterFindings(pins(40, 48))).toEqual([
    { strip: "6", kind: "phantom", value: 40, nominal: 48 },
    { strip: "6", kind: "phantom", value: 48, nominal: 48 },
  ]);
  expect(listMeterFindings(pins(40, 48, { input: "mic" }))[0]).toMatchObject({ input: "mic" });
  expect(
    listMeterFindings(line("rail", [{ value: 12, nominal: 15, tolerance: 1 }, { value: 3 }])),
  ).toEqual([{ strip: "6", kind: "rail", value: 12, nominal: 15, tolerance: 1 }]);
  expect(listMeterFindings(line("resistor", [{ unit: "Ω", value: 1, nominal: 2 }]))).toEqual([]);
  expect(listMeterFindings(line("capacitor", [{ unit: "F", value: 1, nominal: 2 }]))).toEqual([]);
  const { strip: _, ...nowhere } = pins(40, 48);
  expect(listMeterFindings(nowhere as MeterLine)).toEqual([]);
});
