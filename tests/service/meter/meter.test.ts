import { describe, expect, it } from "vitest";
import { DeskroundError } from "../../../src/errors.js";
import { formatMeterValues, wordMeterVerdict } from "../../../src/report/meter/format-meter.js";
import { judgeMeter as judge, type MeterLine } from "../../../src/service/meter/judge.js";
import { formatQuantity, parseQuantity } from "../../../src/service/meter/quantity.js";
import { parseMeterValues } from "../../../src/service/meter/values.js";
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
    expect(second).toMatch(/feed resistor off value/);
    expect(judgeMeter(phantom("47.8", "0.1")).pointsTo[0]).toMatch(/^pin 3: feed resistor open/);
  });

  it("tells one strip's feed from the shared supply by the other strips", () => {
    expect(judgeMeter(phantom("30", "30")).pointsTo[0]).toMatch(/phantom switch/);
    const others = [entry(phantom("31", "31", "7"))];
    expect(judgeMeter(phantom("30", "30"), others).pointsTo[0]).toMatch(/shared supply.*strip 7/);
  });

  it("gives voltages to the diagnosis as evidence", () => {
    expect(judgeMeter(phantom("31.2", "47.8")).findings).toEqual([
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
    expect(judgeMeter(meter("rail", { plus: "16.9" })).remarks).toEqual([]);
    // Common practice, no source: no circuit of a desk is fed with 4 V.
    expect(judgeMeter(meter("rail", { plus: "4.1" })).remarks).toEqual([
      expect.stringMatching(/^plus 4\.1 V is out of any usual range/),
    ]);
  });

  it("knows which way a part in place can be misread", () => {
    const part = (what: MeterLine["what"], value: string, nominal: string) =>
      judgeMeter(meter(what, { value, nominal })).pointsTo[0];
    expect(part("resistor", "6k2", "6k8")).toMatch(/lift one end/);
    expect(part("resistor", "9k", "6k8")).toMatch(/off value or open/);
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
    expect(direct("0.4mV").remarks).toEqual([]);
  });

  it("sends nobody to feel for a hot part under power", () => {
    const rails = { phantomV: 48, railsV: [17, -17] };
    const { pointsTo } = judgeMeter(meter("rail", { minus: "-12" }, "6", rails));
    expect(pointsTo[0]).toMatch(/infrared thermometer, never by touch/);
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
