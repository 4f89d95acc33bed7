import { describe, expect, it } from "vitest";
import { DeskroundError } from "../../../src/errors.js";
import { formatMeterValues, wordMeterVerdict } from "../../../src/report/meter/format-meter.js";
import { judgeMeter as judge, type MeterLine } from "../../../src/service/meter/judge.js";
import { formatQuantity, parseQuantity } from "../../../src/service/meter/quantity.js";
import { listWrittenValues, parseMeterValues } from "../../../src/service/meter/values.js";
import type { Entry } from "../../../src/service/notebook/types.js";

const judgeMeter = (...given: Parameters<typeof judge>) => wordMeterVerdict(judge(...given));

const desk = { phantomV: 48 } as const;

function meter(
  what: MeterLine["what"],
  written: object,
  strip = "6",
  at: object = desk,
): MeterLine {
  return {
    note: 1,
    id: "n1",
    date: "2031-03-14T12:00:00Z",
    kind: "meter",
    strip,
    what,
    values: [...parseMeterValues(what, written, at as typeof desk)],
    text: "",
  };
}

const entry = (line: MeterLine): Entry => ({ id: "n9", line, at: 1, corrections: [] });
const phantom = (pin2: string, pin3: string, strip?: string) =>
  meter("phantom", { pin2, pin3 }, strip);

describe("parseQuantity", () => {
  // Letters for the decimal point: IEC 60062 (from memory). SI prefixes: BIPM, SI Brochure.
  it.each([
    ["31.2", "V", 31.2],
    ["31,2 V", "V", 31.2],
    ["120mV", "V", 0.12],
    ["−14.9", "V", -14.9],
    ["6.79k", "Ω", 6790],
    ["6k8", "Ω", 6800],
    ["4R7", "Ω", 4.7],
    ["680 ohm", "Ω", 680],
    ["1M", "Ω", 1e6],
    ["47u", "F", 47e-6],
    ["4u7", "F", 4.7e-6],
    ["0.47 µF", "F", 0.47e-6],
    ["22pF", "F", 22e-12],
  ] as const)("reads %s as %s", (text, unit, value) => {
    expect(parseQuantity(text, unit, "value")).toBe(value);
  });

  it.each([
    ["6790", "Ω", /no unit/],
    ["47", "F", /no unit/],
    ["31.2 ohm", "V", /not a unit of voltage/],
    ["12 mA", "V", /not a unit of voltage/],
    ["about 30", "V", /is not a voltage/],
    ["", "V", /is not a voltage/],
    ["1e5", "V", /not a unit of voltage/],
    ["5000", "V", /impossible/],
    ["48F", "F", /impossible/],
    ["-3k", "Ω", /impossible/],
  ] as const)("refuses %s", (text, unit, message) => {
    expect(() => parseQuantity(text, unit, "value")).toThrowError(message);
  });

  it("is undone by quantityText to three figures", () => {
    expect(formatQuantity(6790, "Ω")).toBe("6.79 kΩ");
    expect(formatQuantity(-0.12, "V")).toBe("−120 mV");
    expect(formatQuantity(4.7e-3, "F")).toBe("4700 µF");
    expect(formatQuantity(999.6e-9, "F")).toBe("1 µF");
    expect(formatQuantity(0, "V")).toBe("0 V");
  });
});

describe("meterValues", () => {
  it("refuses what no desk can show", () => {
    for (const written of [{ pin2: "480" }, { pin2: "-48" }, { plus: "15" }, {}, { value: "3" }]) {
      expect(() => parseMeterValues("phantom", written, desk)).toThrowError(DeskroundError);
    }
    expect(() => parseMeterValues("rail", { minus: "15" }, desk)).toThrowError(/wrong sign/);
  });
});

describe("judgeMeter", () => {
  // Phantom supplies: IEC 61938, 48 V ± 4 V, feed resistors of 6.8 kΩ within 0.4 % (from memory).
  it("finds phantom voltages in order within the standard's tolerance", () => {
    expect(judgeMeter(phantom("47.8", "47.9")).verdict).toBe("in");
    expect(judgeMeter(phantom("44", "44.1")).verdict).toBe("in");
    expect(judgeMeter(phantom("43.9", "44")).verdict).toBe("out");
    expect(judgeMeter(meter("phantom", { pin2: "24", pin3: "24" })).verdict).toBe("out");
    const p24 = meter("phantom", { pin2: "24", pin3: "24" }, "6", { phantomV: 24 });
    expect(judgeMeter(p24).verdict).toBe("in");
  });

  it("calls pins unlike that no pair of matched resistors explains", () => {
    const found = judgeMeter(phantom("46", "47.8"));
    expect(found.verdict).toBe("out");
    expect(found.words[0]).toMatch(/^the pins differ by 1.8 V/);
  });

  it("reckons the leak on the low pin by Ohm's law", () => {
    // (47.8 V − 31.2 V) / 6.8 kΩ = 2.44 mA
    const [first, second] = judgeMeter(phantom("31.2", "47.8")).pointsTo;
    expect(first).toMatch(/^pin 2: a leaky input capacitor.*2\.4 mA/);
    expect(second).toMatch(/feed resistor out of tolerance/);
    expect(judgeMeter(phantom("47.8", "0.1")).pointsTo[0]).toMatch(/^pin 3: feed resistor open/);
  });

  it("tells one strip's feed from the shared supply by the other strips", () => {
    expect(judgeMeter(phantom("30", "30")).pointsTo[0]).toMatch(/phantom switch/);
    const others = [entry(phantom("31", "31", "7"))];
    expect(judgeMeter(phantom("30", "30"), others).pointsTo[0]).toMatch(/shared supply.*strip 7/);
  });

  it("gives voltages to the diagnosis as evidence", () => {
    expect(judgeMeter(phantom("31.2", "47.8")).findings).toStrictEqual([
      { strip: "6", kind: "phantom", value: 31.2, nominal: 48 },
      { strip: "6", kind: "phantom", value: 47.8, nominal: 48 },
    ]);
  });

  it("judges rails by desk.yaml, or not at all", () => {
    const rails = { phantomV: 48, railsV: [17, -17] };
    const at = (plus: string, minus: string) => meter("rail", { plus, minus }, "6", rails);
    expect(judgeMeter(at("16.9", "-17.1")).verdict).toBe("in");
    expect(judgeMeter(at("16.9", "-12"))).toMatchObject({
      verdict: "out",
      words: ["minus −12 V, −17 V ± 850 mV expected"],
    });
    expect(judgeMeter(meter("rail", { plus: "16.9" })).verdict).toBe("unjudged");
    expect(judgeMeter(meter("rail", { plus: "16.9" })).remarks).toStrictEqual([]);
    // Common practice, no source: no circuit of a desk is fed with 4 V.
    expect(judgeMeter(meter("rail", { plus: "4.1" })).remarks).toStrictEqual([
      expect.stringMatching(/^plus 4\.1 V is outside any usual range/),
    ]);
  });

  it("knows which way a part in place can be misread", () => {
    const part = (what: MeterLine["what"], value: string, nominal: string) =>
      judgeMeter(meter(what, { value, nominal })).pointsTo[0];
    expect(part("resistor", "6k2", "6k8")).toMatch(/lift one end/);
    expect(part("resistor", "9k", "6k8")).toMatch(/out of tolerance or open/);
    expect(part("capacitor", "12u", "47u")).toMatch(/dried out/);
    expect(part("capacitor", "80u", "47u")).toMatch(/leaks/);
    expect(part("capacitor", "40u", "47u")).toBeUndefined();
  });

  it("wants the two feed resistors of an input matched, not only within their tolerance", () => {
    // IEC 61938 (from memory): within 0.4 % of each other; 6.79 and 6.90 differ by 1.6 %.
    const feed = (value: string, part: string): MeterLine => ({
      ...meter("resistor", { value, nominal: "6k8" }),
      part,
    });
    const other = [entry(feed("6.79k", "R14 feed"))];
    expect(judgeMeter(feed("6.90k", "R15 feed"), other)).toMatchObject({
      verdict: "out",
      words: [expect.stringMatching(/differ by 1\.6 %/)],
    });
    expect(judgeMeter(feed("6.80k", "R15 feed"), other).verdict).toBe("in");
    expect(judgeMeter(feed("6.90k", "R15 feed")).remarks[0]).toMatch(/within 0\.4 %/);
    expect(judgeMeter(feed("6.90k", "R15"), other).verdict).toBe("in");
  });

  it("lays volts at an output to the op amp, millivolts to a leak", () => {
    // Common practice of the trade, no source.
    const direct = (value: string) => judgeMeter(meter("direct", { value }));
    expect(direct("6.2").pointsTo[0]).toMatch(/^the op amp/);
    expect(direct("150mV").pointsTo[0]).toMatch(/capacitor.*leaks/);
    // 15 mV through 40 dB would be 1.5 V: in order only if no gain follows.
    expect(direct("15mV")).toMatchObject({
      verdict: "in",
      remarks: [expect.stringMatching(/if no gain follows/)],
    });
    expect(direct("0.4mV").remarks).toStrictEqual([]);
  });

  it("sends nobody to feel for a hot part under power", () => {
    const rails = { phantomV: 48, railsV: [17, -17] };
    const { pointsTo } = judgeMeter(meter("rail", { minus: "-12" }, "6", rails));
    expect(pointsTo[0]).toMatch(/infrared thermometer; never touch it/);
  });
});

describe("values", () => {
  it("are named by where they were read, and not at all where there is one place", () => {
    expect(formatMeterValues([{ at: "value", value: 6800, unit: "Ω" }])).toBe("6.8 kΩ");
    const pins = [
      { at: "pin 2", value: 31.2, unit: "V" },
      { at: "pin 3", value: 47.8, unit: "V" },
    ] as const;
    expect(formatMeterValues(pins)).toBe("pin 2 31.2 V, pin 3 47.8 V");
  });

  it("of the wrong sign are refused with where the black lead belongs", () => {
    const hint = (...args: Parameters<typeof parseMeterValues>) => {
      try {
        parseMeterValues(...args);
      } catch (error) {
        if (error instanceof DeskroundError) return error.hint;
      }
      return undefined;
    };
    const phantomHint = hint("phantom", { pin2: "-47", pin3: "48" }, desk as never);
    expect(phantomHint).toContain("The black lead belongs on pin 1.");
    const railHint = hint("rail", { plus: "-15", minus: "-15" }, desk as never);
    expect(railHint).toContain("The black lead belongs on ground.");
  });
});

describe("what is read beside a meter", () => {
  it.each([
    ["4u7", "F", 4.7e-6],
    ["4µ7", "F", 4.7e-6],
    ["2p2", "F", 2.2e-12],
    ["3n3", "F", 3.3e-9],
    ["1M2", "Ω", 1.2e6],
    ["6K8", "Ω", 6800],
    [".5", "V", 0.5],
    ["5.", "V", 5],
    ["+5", "V", 5],
    ["0,47 µ", "F", 0.47e-6],
    ["15 volts", "V", 15],
    ["15v", "V", 15],
    ["10R", "Ω", 10],
    ["10 Ohms", "Ω", 10],
    ["1 F", "F", 1],
    ["1000", "V", 1000],
    ["-1000", "V", -1000],
    ["0R", "Ω", 0],
    ["1000M", "Ω", 1e9],
    ["0.1pF", "F", 1e-13],
    [" 12 ", "V", 12],
  ] as const)("%j as %s is %d", (text, unit, value) => {
    expect(parseQuantity(text, unit, "value")).toBe(value);
  });

  it.each([
    ["1000.1", "V"],
    ["-1000.1", "V"],
    ["1001M", "Ω"],
    ["0.09pF", "F"],
    ["1.01F", "F"],
    ["6V8", "V"],
    ["4k7", "F"],
    ["4u7", "Ω"],
    ["5k", "V"],
    ["5 5", "V"],
    ["5xV", "V"],
    ["k", "Ω"],
  ] as const)("%j is none as %s", (text, unit) => {
    expect(() => parseQuantity(text, unit, "value")).toThrowError(DeskroundError);
  });

  // Three figures; a prefix from its own size on.
  it.each([
    [999_500, "Ω", "1 MΩ"],
    [999_400, "Ω", "999 kΩ"],
    [1000, "Ω", "1 kΩ"],
    [999, "Ω", "999 Ω"],
    [1, "V", "1 V"],
    [0.999, "V", "999 mV"],
    [0.001, "V", "1 mV"],
    [0.000999, "V", "999 µV"],
    [-1.2345, "V", "−1.23 V"],
    [1, "F", "1 F"],
    [0.5, "F", "500000 µF"],
    [2000, "F", "2000 F"],
    [1e-6, "F", "1 µF"],
    [999e-9, "F", "999 nF"],
    [1e-9, "F", "1 nF"],
    [999e-12, "F", "999 pF"],
    [2.2e-12, "F", "2.2 pF"],
    [1e-13, "F", "0.1 pF"],
    [0, "F", "0 F"],
  ] as const)("%d in %s is written %s", (value, unit, text) => {
    expect(formatQuantity(value, unit)).toBe(text);
  });
});

describe("the values of a reading, with what they ought to be", () => {
  const rails = { phantomV: 48, railsV: [17, -16] } as never;
  const values = (what: MeterLine["what"], written: object) =>
    parseMeterValues(what, written as never, rails);

  it("are those of the desk, or those written with them", () => {
    expect(values("phantom", { pin2: "47", pin3: "48" })).toStrictEqual([
      { at: "pin 2", value: 47, unit: "V", nominal: 48 },
      { at: "pin 3", value: 48, unit: "V", nominal: 48 },
    ]);
    expect(
      values("rail", { plus: "17", minus: "-16" }).map(({ nominal }) => nominal),
    ).toStrictEqual([17, -16]);
    expect(parseMeterValues("rail", { plus: "17" }, { phantomV: 48 } as never)).toStrictEqual([
      { at: "plus", value: 17, unit: "V" },
    ]);
    // A minus rail is meant to be negative, with or without its sign.
    for (const nominal of ["15", "-15"]) {
      expect(values("rail", { minus: "-16", nominal })[0].nominal).toBe(-15);
    }
    expect(values("rail", { plus: "16", nominal: "15" })[0].nominal).toBe(15);
    expect(values("direct", { value: "1mV" })[0].nominal).toBe(0);
    expect(values("resistor", { value: "1k" })[0]).toStrictEqual({
      at: "value",
      value: 1000,
      unit: "Ω",
    });
    expect(values("capacitor", { value: "1u", nominal: "2u" })[0].nominal).toBe(2e-6);
  });

  it("have a tolerance in per cent of what they ought to be, or in their unit", () => {
    const tolerance = (what: MeterLine["what"], written: object) =>
      values(what, written)[0].tolerance;
    expect(tolerance("phantom", { pin2: "47", tolerance: "5%" })).toBeCloseTo(2.4, 12);
    expect(tolerance("phantom", { pin2: "47", tolerance: " 2,5 % " })).toBeCloseTo(1.2, 12);
    expect(tolerance("rail", { minus: "-16", tolerance: "5%" })).toBeCloseTo(0.8, 12);
    expect(tolerance("rail", { plus: "16", tolerance: "0.5" })).toBe(0.5);
    expect(tolerance("rail", { plus: "16", tolerance: "-0.5V" })).toBe(0.5);
    expect(tolerance("rail", { plus: "16" })).toBeUndefined();
    expect(() => values("resistor", { value: "1k", tolerance: "5%" })).toThrow(/^--tolerance 5%/);
  });

  it.each([
    ["phantom", { pin2: "70" }, undefined],
    ["phantom", { pin2: "70.1" }, /no phantom supply gives more than 70 V/],
    ["rail", { plus: "100" }, undefined],
    ["rail", { plus: "100.1" }, /no rail voltage of a strip is more than 100 V/],
    ["rail", { minus: "-100.1" }, /more than 100 V/],
    ["direct", { value: "-100.1" }, /more than 100 V/],
    ["direct", { value: "-5" }, undefined],
    ["phantom", { pin2: "-1" }, undefined],
    ["phantom", { pin2: "-1.1" }, /wrong sign/],
    ["rail", { plus: "-1" }, undefined],
    ["rail", { plus: "-1.1" }, /wrong sign/],
    ["rail", { minus: "1" }, undefined],
    ["rail", { minus: "1.1" }, /wrong sign/],
    ["resistor", { value: "200" }, /no unit/],
    [
      "rail",
      { pin2: "5" },
      /--pin2 does not belong to a reading of rail: it takes --plus and --minus/,
    ],
    ["rail", { plus: "5", value: "6" }, /The value 6 does not belong to a reading of rail/],
    ["rail", { plus: "high" }, /^plus: "high" is not a voltage/],
    ["direct", { value: "high" }, /^direct: "high" is not a voltage/],
    ["rail", {}, /A reading of rail needs --plus or --minus/],
    ["direct", {}, /A reading of direct needs a value/],
  ] as const)("of %s, %j, are refused with %s", (what, written, told) => {
    if (told === undefined) expect(values(what, written)).toHaveLength(1);
    else expect(() => values(what, written)).toThrow(told);
  });

  it("that are stored are those that were written", () => {
    for (const [what, written] of [
      ["phantom", { pin2: "47.5", pin3: "48" }],
      ["rail", { plus: "17", minus: "-16.25" }],
      ["direct", { value: "0.5" }],
    ] as const) {
      expect(listWrittenValues(values(what, written))).toStrictEqual(written);
    }
  });
});
