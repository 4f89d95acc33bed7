import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { DeskroundError } from "../../../src/errors.js";
import { listBuiltInLimits } from "../../../src/service/limits/built-in.js";
import { compileLimit } from "../../../src/service/limits/compile.js";
import { slow } from "../../helpers/slow.js";
import { compiled, limit, meaning, path, reading, round } from "./rounds.js";

const calibrated = round([
  path({ path: "1/mic", readings: { noiseA: reading(-88, "dBu"), gain: reading(0) } }),
]);

async function refusal(text: string, of = round([]), baseline?: ReturnType<typeof round>) {
  try {
    await compiled(text, of, baseline);
  } catch (error) {
    if (error instanceof DeskroundError) return `${error.message} | ${error.hint ?? ""}`;
    throw error;
  }
  return "understood";
}

describe("an expression", () => {
  it("is a value and a bound, worked out from the figures in order", async () => {
    const { figures, comparisons } = await compiled("hum <= siblings(hum) + 6 dB");
    expect(figures).toStrictEqual([
      { whose: "own", id: "hum" },
      { whose: "siblings", id: "hum" },
    ]);
    const [{ relation, unit, value, bound, rates }] = comparisons;
    // hum − siblings(hum) − 6 dB: 1 for 1 on either side.
    expect(rates).toStrictEqual([1, 1]);
    expect({ relation, unit }).toStrictEqual({ relation: "<=", unit: "dBFS" });
    expect([value([-100, -110]), bound([-100, -110])]).toStrictEqual([-100, -104]);
  });

  it("judges the path's figure on whichever side it stands", async () => {
    const [one] = (await compiled("-82 dBFS >= noiseA")).comparisons;
    expect(one).toMatchObject({ relation: "<=", quantity: "noiseA" });
    expect([one.value([-90]), one.bound([-90])]).toStrictEqual([-90, -82]);
  });

  it("between two bounds is two comparisons", async () => {
    const { comparisons } = await compiled("-1 dB <= gain <= 2 dB");
    expect(comparisons.map(({ relation, bound }) => [relation, bound([0])])).toStrictEqual([
      [">=", -1],
      ["<=", 2],
    ]);
  });

  it("takes the minus sign and the comparisons of print", async () => {
    const [{ relation, bound }] = (await compiled("noiseA ≤ −82 dBFS")).comparisons;
    expect([relation, bound([0])]).toStrictEqual(["<=", -82]);
  });

  it("counts brackets, products and the three functions as arithmetic does", async () => {
    const text = "max(abs(gain - 1 dB), 2 * (thd + 100 dB) / 4) <= min(6 dB, 12 dB)";
    const [{ value, bound }] = (await compiled(text)).comparisons;
    expect([value([-2, -95]), bound([-2, -95])]).toStrictEqual([3, 6]);
  });

  // 20·log10(0.001) = −60 exactly: a ratio of r.m.s. values in per cent (IEC 60268-3).
  it("may give distortion in per cent", async () => {
    const [{ unit, bound }] = (await compiled("thd <= 0.1 %")).comparisons;
    expect(unit).toBe("dB");
    expect(bound([0])).toBeCloseTo(-60, 12);
  });

  it("takes kilohertz for a thousand hertz", async () => {
    const [{ unit, bound }] = (await compiled("cornerHigh >= 18 kHz")).comparisons;
    expect([unit, bound([0])]).toStrictEqual(["Hz", 18_000]);
  });

  it("takes a bare number for a unit that cannot be written behind one", async () => {
    const sloping = round([
      path({ path: "1/mic", readings: { noiseSlope: reading(-1, "dB/octave") } }),
    ]);
    const [{ unit, bound }] = (await compiled("noiseSlope >= -2", sloping)).comparisons;
    expect([unit, bound([0])]).toStrictEqual(["dB/octave", -2]);
  });

  it("names one point of a curve, or a band", async () => {
    const { figures, band } = await compiled(
      "response(30 Hz, 18 kHz) >= siblings(response(30 Hz, 18 kHz)) - 1 dB",
    );
    expect(band).toStrictEqual({ fromHz: 30, toHz: 18_000 });
    expect(figures.map(({ whose }) => whose)).toStrictEqual(["own", "siblings"]);
    const point = await compiled("response(20 Hz) >= -1 dB");
    expect(point.figures).toStrictEqual([{ whose: "own", id: "response", at: { hz: 20 } }]);
    expect(point.band).toBeUndefined();
  });

  it("knows every built-in limit", async () => {
    const of = round([]);
    const by = await meaning(of, round([], "2030-01-01-01"));
    for (const one of listBuiltInLimits("named")) {
      expect(compileLimit(one, by).comparisons).toHaveLength(1);
      expect(one.why).not.toBe("");
    }
  });
});

describe("an expression that is wrong", () => {
  it.each([
    ["warmth <= -82 dBFS", '"warmth" is not a reading. | Use the names that '],
    ["noiseA <= -82 dbu", '"dbu" is not a unit. | Did you mean dBu?'],
    ["noiseA <= -82 volts", '"volts" is not a unit. | Known: dB, dBu, dBFS, Hz, kHz, %'],
    [
      "noiseA <= -82",
      "noiseA is in dBFS, the value -82 is without a unit: they cannot be compared. | Write the unit after the number: dBFS.",
    ],
    ["noiseA <= -82 dB", "noiseA is in dBFS, the value -82 is in dB: they cannot be compared."],
    ["cornerLow <= 3 dB", "cornerLow is in Hz, the value 3 is in dB: they cannot be compared."],
    ["noiseA", '"noiseA" compares with nothing. | Write what is allowed after it: noiseA <= …'],
    ["noiseA = -82 dBFS", "a single = is not a comparison. | Write <=, >=, < or >"],
    ["f(x) = noiseA", "a single = is not a comparison. | Write <=, >=, < or >"],
    ["gain == 1 dB", "measured values are never exactly equal. | Say how far apart"],
    ["gain != 1 dB", '"!=" is not allowed in a limit.'],
    [
      "noiseA <= ",
      '"noiseA <= " cannot be understood: it ends too early. | For example noiseA <= -82 dBu',
    ],
    ["noiseA <= ) dB", 'cannot be understood from ") dB" on.'],
    ["", "the limit is empty. | For example noiseA"],
    ["1 dB <= 2 dB", '"1 dB <= 2 dB" names no reading of the path.'],
    ["siblings(noise) <= -80 dBFS", "names no reading of the path."],
    [
      "noise <= siblings + 6 dB",
      '"siblings" of what? | Name the reading in brackets: siblings(noise).',
    ],
    ["noise <= siblings(noise + 6 dB)", "only a reading or a curve can stand in these brackets."],
    [
      "noise <= siblings(siblings(noise))",
      "only a reading or a curve can stand in these brackets.",
    ],
    ["noise <= sibling(noise)", '"sibling(…)" is unknown. | Did you mean siblings?'],
    ["noise(1 kHz) <= 3 dB", '"noise" is a reading and takes no brackets. | Write noise alone.'],
    ["response >= -3 dB", '"response" is a curve: at which frequency? | Write response(1 kHz)'],
    ["response(20) >= -3 dB", "20 is not a frequency."],
    ["response(20 kHz, 20 Hz) >= -3 dB", "the lower frequency comes first."],
    ["response(20 Hz, 1 kHz) >= response(1 kHz, 20 kHz)", "uses two different bands."],
    ["noise + hum <= -80 dBFS", "they cannot be added. | To a level, only dB can be added."],
    ["2 * noise <= -80 dBFS", "they cannot be multiplied."],
    ["abs(noise) <= 80 dBFS", "a level in dBFS is not a difference, so it has no absolute value."],
    [
      "abs(gain - siblings(gain)) <= 10 %",
      "% can only be compared with one reading that is a ratio",
    ],
    ["thd <= 0 %", "0 % is not a distortion that can be measured."],
    ["gain siblings(gain) <= 1 dB", "an operator is missing before siblings(gain)."],
    ["-1 dB <= gain <= 2 dB <= 3 dB", "has more than two comparisons. | Split it into two limits."],
    ["(gain <= 1 dB) <= 1", "has a comparison inside a comparison. | Split it into two limits."],
    ["noiseA <= dBFS", "the unit dBFS has no number."],
    [
      "noise <= baseline(noise)",
      "compares with a baseline round, but none was named. | Name one: --with",
    ],
  ])("%j is refused with what was probably meant", async (text, told) => {
    const said = await refusal(text);
    expect(said).toMatch(/^limits\.yaml line 3: /);
    expect(said).toContain(told);
  });

  it("compares dBFS with dBu neither way, and says why", async () => {
    expect(await refusal("noiseA <= -82 dBu")).toBe(
      "limits.yaml line 3: noiseA is in dBFS and the value -82 is in dBu in round 2031-03-14-01: they cannot be compared, because it is not known how many dBu full scale is. | Write the limit in the unit that the round has; a calibrated round has dBu.",
    );
    expect(await refusal("noiseA <= -82 dBu", calibrated)).toBe("understood");
    expect(await refusal("noiseA <= -82 dBFS", calibrated)).toContain("how many dBu full scale is");
    expect(await refusal("noiseA <= baseline(noiseA) + 3 dB", calibrated, round([]))).toContain(
      "noiseA is in dBu and one side is in dBFS",
    );
    expect(await refusal("noiseA - hum <= 3 dB", calibrated)).toContain(
      "they cannot be subtracted",
    );
  });
});

describe("what an expression can reach", () => {
  // What the parser's own language offers beyond sums (its documentation, "Expression syntax").
  it.each([
    "import({noise: 3})",
    'evaluate("1")',
    'parse("noise <= 1")',
    'createUnit("noise")',
    'simplify("noise")',
    "f(x) = noise",
    "noise = 3 dB",
    "noise.constructor <= 1",
    'noise["constructor"] <= 1',
    'abs.constructor("return process")() <= gain',
    "[noise, 1] <= 1",
    "{a: noise} <= 1",
    '"noise" <= 1',
    "1:3 <= gain",
    "gain > 1 dB ? 1 : 2",
    "gain; thd",
    "gain\nthd",
    "gain ^ 2 <= 1 dB",
    "gain! <= 1 dB",
    "gain' <= 1 dB",
    "gain % 2 <= 1 dB",
    "gain .* 2 <= 1 dB",
    "gain | 1 <= 1",
    "gain and thd",
    "not gain <= 1 dB",
    "gain to dB <= 1 dB",
    "random() <= gain",
    "config({}) <= gain",
    "sqrt(gain) <= 1 dB",
    "constructor <= gain",
    "__proto__ <= gain",
    "toString() <= gain",
    "hasOwnProperty(gain) <= 1 dB",
    "pi <= gain",
    "Infinity <= gain",
    "NaN <= gain",
    "1e999 dB <= gain",
    "i <= gain",
    "f0 <= gain",
    "true <= gain",
    "null <= gain",
  ])("%j is refused", async (text) => {
    expect(await refusal(text)).not.toBe("understood");
  });

  it("any text is understood or refused in words, never anything else", slow, async () => {
    const by = await meaning(round([]));
    const piece = fc.constantFrom(
      ..."noise gain siblings( response( baseline( ) ( + - * / , <= >= < == = ^ ! ' . : ; [ ] { } 1 20 dB dBu Hz kHz % \" abs( max( __proto__ constructor".split(
        " ",
      ),
    );
    const text = fc.oneof(
      fc.string({ unit: "binary", maxLength: 60 }),
      fc.array(piece, { maxLength: 14 }).map((parts) => parts.join(" ")),
    );
    fc.assert(
      fc.property(text, (one) => {
        try {
          const { comparisons, figures } = compileLimit(limit(one), by);
          for (const { value, bound } of comparisons) {
            const at = figures.map((_, k) => -1 - k);
            if (typeof value(at) !== "number" || typeof bound(at) !== "number") return false;
          }
          return true;
        } catch (error) {
          return error instanceof DeskroundError && error.code === "limits-file";
        }
      }),
      { numRuns: 3000 },
    );
  });

  it("is bounded in size, and so in time", async () => {
    const padded = (length: number) => "gain <= 1 dB".padEnd(length);
    expect(await refusal(padded(300))).toBe("understood");
    expect(await refusal(padded(301))).toContain("longer than 300");
    const long = `${"(".repeat(140)}gain${")".repeat(140)} <= 1 dB`;
    expect(await refusal(long)).toMatch(/is too long|cannot be understood/);
    expect(await refusal(`gain <= ${"1 dB + ".repeat(60)}1 dB`)).toContain("longer than 300");
    expect(await refusal(`gain <= ${"1 dB+".repeat(50)}1 dB`)).toContain("is too long");
  });
});

describe("what has a sign or a unit", () => {
  const refused = async (text: string) => {
    const of = round([
      path({ path: "1/mic", readings: { noise: reading(-80, "dBFS"), thd: reading(-60) } }),
    ]);
    const scope = await meaning(of);
    try {
      compileLimit(limit(text), scope);
    } catch (error) {
      return (error as Error).message;
    }
    return "understood";
  };

  it("is not a level with its sign changed, and one number before its unit", async () => {
    expect(await refused("-noise < 3 dBFS")).toMatch(/cannot change its sign/);
    expect(await refused("-thd < 60 dB")).toBe("understood");
    expect(await refused("thd dB < 3 dB")).toMatch(/one number is expected/);
    expect(await refused("thd < 3 dB")).toBe("understood");
  });
});

describe("what is not understood", () => {
  it.each([
    ["siblings() <= 2 dB", '"siblings" takes one reading, e.g. siblings(noise).'],
    ["siblings(gain, noise) <= 2 dB", '"siblings" takes one reading, e.g. siblings(noise).'],
    ["response(0 Hz) >= -3 dB", "0 Hz is not a frequency."],
    ["response(-20 Hz) >= -3 dB", "is not a frequency."],
    ["(gain + gain) dezibels <= 2 dB", "an operator is missing before dezibels."],
    ["plain distortion <= -80 dB", "Did you mean distortion?"],
    // "hum" is a part of many names, and of many words: too short to be meant.
    ["humming <= -80 dB", "Use the names that"],
    ["response() >= -3 dB", '"response" takes one frequency, or two for every point between.'],
    [
      "response(20 Hz, 1 kHz, 20 kHz) >= -3 dB",
      '"response" takes one frequency, or two for every point between.',
    ],
  ])("%s is refused: %s", async (text, said) => {
    expect(await refusal(text)).toContain(said);
  });
});

describe("what is told of an expression that is wrong, word for word", () => {
  const sloping = round([
    path({ path: "1/mic", readings: { noiseSlope: reading(-1, "dB/octave") } }),
  ]);
  it.each([
    ["max <= 3 dB", '"max" of what? | For example max(gain, thd).'],
    ["warmth(thd) <= 3 dB", '"warmth(…)" is unknown. | Known: siblings, baseline, '],
    ["respons(1 kHz) >= -3 dB", '"respons(…)" is unknown. | Did you mean response?'],
    ["abs(gain, thd) <= 3 dB", '"abs(gain, thd)": abs takes one value. | '],
    ["abs() <= 3 dB", "abs takes one value."],
    ["max(gain) <= 3 dB", '"max(gain)": max takes several values. | '],
    ["min() <= 3 dB", "min takes several values."],
    ["max(gain, cornerLow) <= 3 dB", "gain is in dB, cornerLow is in Hz: they cannot be compared."],
    ["response(20 Hz, 20 Hz) >= -3 dB", "the lower frequency comes first."],
    ["gain + cornerLow <= 3 dB", "they cannot be added. | To a level, only dB can be added."],
    ["noise + cornerLow <= 3 dB", "they cannot be added. | To a level, only dB can be added."],
    [
      "gain siblings(gain) <= 1 dB",
      "an operator is missing before siblings(gain). | Did you mean gain?",
    ],
    ["gain dezibels <= 2 dB", "an operator is missing before dezibels."],
    ["(3 dB) dezibels <= gain", "an operator is missing before dezibels."],
    ["(3 dB) Hz <= cornerLow", "one number is expected before Hz."],
    ["noise <= 3 %", "% can only be compared with one reading that is a ratio"],
    ["cornerLow <= 3 %", "% can only be compared with one reading that is a ratio"],
    ["response(20 Hz, 1 kHz) >= response(20 Hz, 2 kHz)", "uses two different bands."],
    ["response(20 Hz, 1 kHz) >= response(30 Hz, 1 kHz)", "uses two different bands."],
    ["-82 >= noiseA", "they cannot be compared. | Write the unit after the number: dBFS."],
  ])("%s: %s", async (text, told) => {
    const said = await refusal(text);
    expect(said).toContain(told);
    if (told.endsWith("| ")) expect(said.endsWith(told)).toBe(true);
  });

  it("gives no hint that would not help", async () => {
    expect(await refusal("cornerLow <= 3 dB")).toBe(
      "limits.yaml line 3: cornerLow is in Hz, the value 3 is in dB: they cannot be compared. | ",
    );
    expect(await refusal("noiseSlope >= -2 dB", sloping)).toContain("they cannot be compared.");
    expect(await refusal("noiseA - hum <= 3 dB", calibrated)).toMatch(
      /use only one of the two units\.$/,
    );
  });
});

describe("what is understood", () => {
  it("has each figure once, and its signs and brackets as arithmetic has them", async () => {
    const twice = await compiled("gain + thd + gain <= thd + 2 dB");
    expect(twice.figures).toStrictEqual([
      { whose: "own", id: "gain" },
      { whose: "own", id: "thd" },
    ]);
    const [{ value, bound }] = twice.comparisons;
    expect([value([1, 5]), bound([1, 5])]).toStrictEqual([7, 7]);
    for (const [text, limitOf] of [
      ["gain >= -(3 dB)", -3],
      ["gain >= +3 dB", 3],
      ["gain >= +(3 dB)", 3],
      ["gain >= -(-3) * 1 dB", 3],
    ] as const) {
      const [one] = (await compiled(text)).comparisons;
      expect([one.unit, one.bound([0])]).toStrictEqual(["dB", limitOf]);
    }
    const [plus] = (await compiled("+gain <= 3 dB")).comparisons;
    expect(plus.value([2])).toBe(2);
    expect(await refusal("max(noise, hum) <= -80 dBFS")).toBe("understood");
  });

  it("judges the left side where both are the path's own", async () => {
    const [one] = (await compiled("gain <= thd + 90 dB")).comparisons;
    expect(one).toMatchObject({ relation: "<=", quantity: "gain" });
    const [other] = (await compiled("siblings(gain) >= gain")).comparisons;
    expect(other).toMatchObject({ relation: "<=", quantity: "gain" });
  });

  it("has siblings in the units of its own round, whatever the baseline has", async () => {
    const baseline = round([]);
    expect(await refusal("noiseA <= siblings(noiseA) + 3 dB", calibrated, baseline)).toBe(
      "understood",
    );
  });

  it("asks for full scale only where dBFS is held against dBu", async () => {
    const of = {
      ...calibrated,
      paths: calibrated.paths.map((one) => ({
        ...one,
        readings: { ...one.readings, hum: reading(-90, "dBFS") },
      })),
      calibration: { inputs: [] } as never,
    };
    const scaled = async (text: string) =>
      (await compiled(text, of)).figures.filter(({ whose }) => whose === "scale").length;
    expect(await scaled("noiseA <= -93 dBFS")).toBe(1);
    expect(await scaled("-93 dBFS >= noiseA")).toBe(1);
    for (const text of ["noiseA <= -71 dBu", "gain <= 3 dB", "hum <= -90 dBFS", "thd <= 1 %"]) {
      expect(await scaled(text)).toBe(0);
    }
  });
});

describe("the reading that was probably meant", () => {
  it.each([
    // Close to a name, with one in it, or a part of one: the name, by its spelling in the reports.
    ["Distorsion <= -80 dB", "Did you mean distortion?"],
    ["the distortion at 100 hz of it <= -80 dB", "Did you mean distortion at 100 Hz?"],
    ["-80 dB >= plain distortion", "Did you mean distortion?"],
    // A name that is right is not what is wrong.
    ["warmth <= -80 dB", "Use the names that"],
    ["xyz <= -80 dB", "Use the names that"],
  ])("in %s: %s", async (text, told) => {
    expect(await refusal(text)).toContain(told);
  });
});
