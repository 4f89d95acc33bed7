import { describe, expect, it } from "vitest";
import { subtractInterface } from "../../../src/measure/calibration/subtract-interface.js";
import type { Reading } from "../../../src/measure/types.js";
import { gaussian } from "../../helpers/noise.js";

// Expected values: closed forms of adding powers and voltages.

const power = { adds: "power" } as const;
const alike = { outputShare: 1 };

function level(value: number, uncertainty = 0.1): Reading {
  return { value, unit: "dBFS", uncertainty };
}

describe("taking the interface's own share out", () => {
  it("subtracts powers", () => {
    // 10·log10(10^(−9) − 10^(−10)) = −90.458 dB
    const left = subtractInterface(level(-90, 0.01), level(-100, 0.01), power, alike);
    expect(left.value).toBeCloseTo(-90.458, 3);
    expect(left).not.toHaveProperty("limitedBy");
  });

  it("says so within 3 dB of the interface's own", () => {
    expect(subtractInterface(level(-97.1), level(-100), power, alike).limitedBy).toBe("interface");
    expect(subtractInterface(level(-96.9), level(-100), power, alike)).not.toHaveProperty(
      "limitedBy",
    );
  });

  it("leaves limited what the recording's word length had set", () => {
    // a loopback with longer words is 30 dB quieter and does not show it
    const heard = { ...level(-94), limitedBy: "interface" as const };
    const left = subtractInterface(heard, level(-124), power, alike);
    expect(left.limitedBy).toBe("interface");
    expect(left).not.toHaveProperty("bound");
  });

  it("counts the doubt about the interface's own as common to all paths", () => {
    const sure = subtractInterface(level(-96), level(-100, 0), power, alike);
    const unsure = subtractInterface(level(-96), level(-100, 1), power, alike);
    expect(sure.common).toBeCloseTo(0, 6);
    expect(unsure.common).toBeGreaterThan(0.5);
    expect(unsure.uncertainty).toBeGreaterThan(sure.uncertainty);
  });

  it("doubts more where the path gives back more of the output's noise than the loopback did", () => {
    const usual = subtractInterface(level(-95), level(-100), power, alike);
    const loud = subtractInterface(level(-95), level(-100), power, { outputShare: 2 });
    expect(loud.uncertainty).toBeGreaterThan(usual.uncertainty);
    expect(loud.value).toBeLessThan(usual.value);
  });

  it("doubts more where mains lines are part of both, as their phase is unknown", () => {
    const steady = [{ heard: 10 ** -9.6, own: 10 ** -10.3 }];
    const plain = subtractInterface(level(-92), level(-100), power, alike);
    const lined = subtractInterface(level(-92), level(-100), power, { outputShare: 1, steady });
    // one line's interval lies about h² + b², so up to 2·b² higher; in decibels it is not even about that
    const middleOf = ({ value, uncertainty }: Reading) =>
      (10 ** ((value - uncertainty) / 10) + 10 ** ((value + uncertainty) / 10)) / 2;
    expect(middleOf(lined)).toBeGreaterThan(middleOf(plain) + 10 ** -10.3);
    expect(middleOf(lined)).toBeLessThan(middleOf(plain) + 3 * 10 ** -10.3);
    // one deviation of 2·a·b·cos φ is √2·a·b
    expect(lined.uncertainty).toBeGreaterThan(plain.uncertainty + 1);
    // The same power in ten lines: each has a phase of its own.
    const ten = Array.from({ length: 10 }, () => ({ heard: 10 ** -10.6, own: 10 ** -11.3 }));
    const spread = subtractInterface(level(-92), level(-100), power, {
      outputShare: 1,
      steady: ten,
    });
    expect(spread.uncertainty).toBeGreaterThan(plain.uncertainty);
    expect(spread.uncertainty).toBeLessThan(0.6 * lined.uncertainty);
  });

  it("holds a path's noise with lines on both sides, of any number and any phase", () => {
    // 2000 draws a row: white noise of power 1 behind an interface of 0.3, both known within 2 %, and
    // lines on both sides; |a + b·e^(jφ)|² for each line
    const next = gaussian(12);
    const uniform = () => Math.abs(1000 * next()) % 1;
    const uncertainty = 10 * Math.log10(1.04);
    const read = (watts: number) =>
      level(10 * Math.log10(watts * (1 + 0.02 * next())), uncertainty);
    for (const [count, path, own] of [
      [1, 0.5, 0.01],
      [1, 1, 1],
      [3, 1, 0.03],
      [10, 0.1, 0.1],
      [3, 0.02, 1],
    ]) {
      let held = 0;
      let bounds = 0;
      const draws = 2000;
      const truth = 10 * Math.log10(1 + count * path);
      for (let k = 0; k < draws; k++) {
        const steady = Array.from({ length: count }, () => ({
          heard: path + own + 2 * Math.sqrt(path * own) * Math.cos(2 * Math.PI * uniform()),
          own,
        }));
        const lines = steady.reduce((sum, { heard }) => sum + heard, 0);
        const around = { outputShare: 1, steady };
        const left = subtractInterface(read(1.3 + lines), read(0.3 + count * own), power, around);
        if (left.bound) bounds++;
        const inside = left.bound
          ? truth <= left.value
          : Math.abs(left.value - truth) <= left.uncertainty;
        if (inside) held++;
      }
      expect(held / draws, `${count} of ${path} and ${own}`).toBeGreaterThan(0.93);
      if (own < 0.05) expect(bounds).toBe(0);
    }
  });

  it("takes a sum of lines on both sides line by line", () => {
    // |a + b·e^(jφ)|² for each line, a phase each, all known exactly; 2000 draws a row
    const next = gaussian(13);
    const uniform = () => Math.abs(1000 * next()) % 1;
    const hum = { adds: "phase", lines: "humLines" } as const;
    for (const [count, path, own, most] of [
      [1, 1, 0.01, 1.1],
      [6, 1, 0.01, 0.6],
      [12, 1, 0.1, 1.9],
    ]) {
      let held = 0;
      const draws = 2000;
      const truth = 10 * Math.log10(count * path);
      const widths: number[] = [];
      for (let k = 0; k < draws; k++) {
        const steady = Array.from({ length: count }, () => ({
          heard: path + own + 2 * Math.sqrt(path * own) * Math.cos(2 * Math.PI * uniform()),
          own,
        }));
        const heard = level(
          10 * Math.log10(steady.reduce((sum, one) => sum + one.heard, 0)),
          0.001,
        );
        const mine = level(10 * Math.log10(count * own), 0.001);
        const left = subtractInterface(heard, mine, hum, { outputShare: 1, steady });
        widths.push(left.uncertainty);
        if (Math.abs(left.value - truth) <= left.uncertainty) held++;
      }
      expect(held / draws, `${count} of ${path} and ${own}`).toBeGreaterThan(0.93);
      // as one voltage of unknown phase it would be 0.9 dB and 3.3 dB
      expect(widths.sort((a, b) => a - b)[draws / 2]).toBeLessThan(most);
    }
  });

  it("takes off lines that the path does not have", () => {
    // the path's line at 50 Hz, the interface's at 150 Hz, as strong: as one voltage all would be hidden
    const steady = [
      { heard: 1, own: 0 },
      { heard: 1, own: 1 },
    ];
    const hum = { adds: "phase", lines: "humLines" } as const;
    const left = subtractInterface(level(3.01, 0.01), level(0, 0.01), hum, {
      outputShare: 1,
      steady,
    });
    const truth = 0;
    if (left.bound) expect(left.value).toBeGreaterThan(truth);
    else expect(Math.abs(left.value - truth)).toBeLessThan(left.uncertainty);
  });

  it("counts what of the interface's own rose with the level", () => {
    // 20·log10(1/(1 − sin(0.95·90°)·10^(−20/20))) = 0.912 dB, and 12 dB higher 4.38 dB
    const phase = { adds: "phase" } as const;
    const heard = { ...level(-80, 0), unit: "dB" };
    const own = { ...level(-100, 0), unit: "dB" };
    const reach = (riseDb: number) =>
      subtractInterface(heard, own, phase, { outputShare: 1, riseDb }).uncertainty;
    expect(reach(0)).toBeCloseTo(0.912, 3);
    expect(reach(12)).toBeCloseTo(-20 * Math.log10(1 - Math.sin(0.475 * Math.PI) * 10 ** -0.4), 6);
    expect(subtractInterface(heard, own, phase, { outputShare: 1, riseDb: 18 }).bound).toBe(
      "upper",
    );
  });

  it("subtracts figures that add in their own unit, doubts in quadrature", () => {
    const left = subtractInterface(
      level(0.5, 0.03),
      level(0.2, 0.04),
      { adds: "difference" },
      alike,
    );
    expect(left.value).toBeCloseTo(0.3, 12);
    expect(left.uncertainty).toBeCloseTo(0.05, 12);
    expect(left.common).toBeCloseTo(0.04, 12);
  });

  it("leaves a bound that noise set a bound", () => {
    const bound: Reading = { ...level(-110, 6), limitedBy: "noise" };
    const phase = { adds: "phase" } as const;
    expect(subtractInterface(bound, level(-120), phase, alike).limitedBy).toBe("noise");
    // the interface may cancel part of it: 20·log10(10^(−110/20) + 10^(−120/20)) = −107.61 dB
    expect(subtractInterface(bound, level(-120), phase, alike).value).toBeCloseTo(-107.61, 2);
    expect(subtractInterface(bound, bound, phase, alike).value).toBe(-110);
  });

  it("holds the path's own noise however the interface's divides between output and input", () => {
    // 2000 draws a row: the path gives back 10 dB less to 3 dB more of the output's noise, both readings
    // scatter by 2 % of their power; closed form: powers add. One desk has one interface, so each division
    // has to hold by itself, the ends too.
    const next = gaussian(11);
    const scatter = 0.02;
    const uncertainty = 10 * Math.log10(1 + 2 * scatter);
    const read = (watts: number) =>
      level(10 * Math.log10(watts * (1 + scatter * next())), uncertainty);
    for (const division of [0, 0.5, 1]) {
      for (const outputShare of [0.1, 0.9, 1, 2]) {
        for (const ratioDb of [0, 3, 10, 20]) {
          const own = 1 - division + division * outputShare;
          let held = 0;
          const draws = 2000;
          for (let k = 0; k < draws; k++) {
            const heard = read(10 ** (ratioDb / 10) + own);
            const left = subtractInterface(heard, read(1), power, { outputShare });
            const inside = left.bound
              ? ratioDb <= left.value
              : Math.abs(left.value - ratioDb) <= left.uncertainty;
            if (inside) held++;
          }
          const row = `${division} of ${outputShare} at ${ratioDb} dB`;
          expect(held / draws, row).toBeGreaterThan(0.93);
          // where nothing is left open, no wider than it must be
          if (outputShare === 1 && ratioDb >= 0) expect(held / draws, row).toBeLessThan(0.975);
        }
      }
    }
  });

  it("holds it near where an estimate turns into a bound, over all divisions", () => {
    // 20 000 draws; there chance picks the estimates that are high, so one end alone holds 92 %
    const next = gaussian(14);
    const uncertainty = 10 * Math.log10(1.04);
    const read = (watts: number) =>
      level(10 * Math.log10(watts * (1 + 0.02 * next())), uncertainty);
    for (const ratioDb of [-9, -6, -3]) {
      let held = 0;
      const draws = 20_000;
      for (let k = 0; k < draws; k++) {
        const outputShare = 10 ** ((((7 * k) % draws) / draws - 0.7) * 1.3);
        const division = k / draws;
        const heard = read(10 ** (ratioDb / 10) + 1 - division + division * outputShare);
        const left = subtractInterface(heard, read(1), power, { outputShare });
        const isInside = left.bound
          ? ratioDb <= left.value
          : Math.abs(left.value - ratioDb) <= left.uncertainty;
        if (isInside) held++;
      }
      expect(held / draws, `${ratioDb} dB`).toBeGreaterThan(0.95);
    }
  });

  it("reaches as far as the limit and, beyond it, one side of what is random", () => {
    // closed form: of 1.5 the interface's share is 0.1 to 1, exactly known but for its division
    const exact = { value: 10 * Math.log10(1.5), unit: "dBFS", uncertainty: 0 };
    const left = subtractInterface(exact, level(0, 0), power, { outputShare: 0.1 });
    expect(left.value - left.uncertainty).toBeCloseTo(10 * Math.log10(0.5), 9);
    expect(left.value + left.uncertainty).toBeCloseTo(10 * Math.log10(1.4), 9);
  });

  it("takes a loopback that its word length set for no more than a limit", () => {
    // 16 bits hide what the interface has: between nothing and all of 0.5 is not the path's
    const own = { ...level(10 * Math.log10(0.5), 0), limitedBy: "interface" as const };
    const heard = { value: 10 * Math.log10(2), unit: "dBFS", uncertainty: 0 };
    const left = subtractInterface(heard, own, power, alike);
    expect(left.value - left.uncertainty).toBeCloseTo(10 * Math.log10(1.5), 9);
    expect(left.value + left.uncertainty).toBeCloseTo(10 * Math.log10(2), 9);
    // the round's words as short: what both have is subtracted
    const alikeWords = { ...heard, limitedBy: "interface" as const };
    const sure = subtractInterface(alikeWords, own, power, alike);
    expect(sure.value).toBeCloseTo(10 * Math.log10(1.5), 9);
    expect(sure.limitedBy).toBe("interface");
  });
});

// From here on every power is known exactly, or within a deviation that is given: what is left lies
// between the two ends that the sentence of each row works out, in units of one power.

const dbOf = (watts: number) => 10 * Math.log10(watts);
/** A power with its standard deviation: the uncertainty is twice that, in decibels. */
const watts = (power: number, stdDev = 0): Reading => ({
  value: dbOf(power),
  unit: "dBFS",
  uncertainty: dbOf(1 + (2 * stdDev) / power),
});
const ends = ({ value, uncertainty }: Reading) => [
  10 ** ((value - uncertainty) / 10),
  10 ** ((value + uncertainty) / 10),
];
/** Triangular dither may be lost by at most this share of its power when noise is rounded. */
const lost = 0.111;

describe("what a power may be without the interface's", () => {
  it.each([
    ["the output's comes back thrice: 0.5 to 1.5", { outputShare: 3 }, 0.5, 1.5],
    ["the output's comes back by half: 0.25 to 0.5", { outputShare: 0.5 }, 1.5, 1.75],
    [
      "the round's words add up to 0.4, or hide a share",
      { outputShare: 1, words: { heard: 0.4, own: 0 } },
      1.1,
      1.5 + lost * 0.4,
    ],
    [
      "the loopback's words made up to 0.2 of its own",
      { outputShare: 1, words: { heard: 0, own: 0.2 } },
      1.5 - lost * 0.2,
      1.7,
    ],
    [
      "the loopback's words may be all of its own",
      { outputShare: 1, words: { heard: 0, own: 0.6 } },
      1.5 - lost * 0.6,
      2,
    ],
    [
      "words and output together: −(0.5 + 0.111·0.2)·2 − 0.1 and −0.3 + 0.111·0.1",
      { outputShare: 2, words: { heard: 0.1, own: 0.2 } },
      2 - (0.5 + lost * 0.2) * 2 - 0.1,
      2 - 0.3 + lost * 0.1,
    ],
  ])("%s", (_, around, low, high) => {
    const left = subtractInterface(watts(2), watts(0.5), power, around);
    const [from, to] = ends(left);
    expect(from).toBeCloseTo(low, 9);
    expect(to).toBeCloseTo(high, 9);
    // Nothing is random: all of it is the interface's, alike for all paths.
    expect(left.common).toBeCloseTo(left.uncertainty, 9);
    expect(left.unit).toBe("dBFS");
  });

  it("a bound of the interface's own is anything from nothing to itself", () => {
    const bound = { ...watts(0.5), uncertainty: 6, bound: "upper" as const };
    const [from, to] = ends(subtractInterface(watts(2), bound, power, alike));
    expect([from, to].map((one) => Number(one.toFixed(9)))).toEqual([1.5, 2]);
    // So is one that the word length set, unless it is known what words add.
    const set = { ...watts(0.5), limitedBy: "interface" as const };
    const words = { heard: 0, own: 0.2 };
    const known = ends(subtractInterface(watts(2), set, power, { ...alike, words }));
    expect(known[0]).toBeCloseTo(1.5 - lost * 0.2, 9);
    expect(known[1]).toBeCloseTo(1.7, 9);
  });

  it("two deviations lie on either side; those of the reading are the path's alone", () => {
    const heard = subtractInterface(watts(1, 0.1), watts(0.5), power, alike);
    expect(ends(heard)[0]).toBeCloseTo(0.3, 9);
    expect(ends(heard)[1]).toBeCloseTo(0.7, 9);
    expect(heard.common).toBeCloseTo(0, 9);
    const own = subtractInterface(watts(1), watts(0.5, 0.1), power, alike);
    expect(ends(own)[0]).toBeCloseTo(0.3, 9);
    expect(own.common).toBeCloseTo(own.uncertainty, 9);
    // 0.06 and 0.08 are 0.1 together.
    const both = subtractInterface(watts(1, 0.06), watts(0.5, 0.08), power, alike);
    expect(ends(both)[1]).toBeCloseTo(0.7, 9);
    // Of the interface's alone 0.5 ± 0.16.
    expect(both.common).toBeCloseTo(dbOf(0.66 / 0.34) / 2, 9);
  });

  it("beyond a wide limit only one side counts: 1.645 normal deviations, scaled to 2 for 1.96", () => {
    // The output's comes back thrice: ±0.5 about 1, and a deviation of (1 + 3)/2 times 0.05.
    const left = subtractInterface(watts(10), watts(0.5, 0.05), power, { outputShare: 3 });
    const reach = 0.5 + ((2 * 1.645) / 1.96) * 0.1;
    expect(ends(left)[0]).toBeCloseTo(9 - reach, 6);
    expect(ends(left)[1]).toBeCloseTo(9 + reach, 6);
  });

  it("turns into a bound where its doubt is two thirds of it", () => {
    const at = (own: number) => subtractInterface(watts(1, 0.1), watts(own), power, alike);
    // Two deviations are 0.2: two thirds of 0.3.
    expect(at(0.69)).not.toHaveProperty("bound");
    expect(at(0.71)).toMatchObject({ bound: "upper", uncertainty: 6, limitedBy: "interface" });
    expect(10 ** (at(0.71).value / 10)).toBeCloseTo(0.29 + 0.2, 9);
    // All that is heard less the least that the interface may have had of it.
    const wide = subtractInterface(watts(1), watts(0.9), power, { outputShare: 0.1 });
    expect(wide.bound).toBe("upper");
    expect(10 ** (wide.value / 10)).toBeCloseTo(0.91, 9);
  });

  it("is limited by the interface up to twice its power", () => {
    const by = (own: number) => subtractInterface(watts(1), watts(own), power, alike).limitedBy;
    expect([0.499, 0.501].map(by)).toEqual([undefined, "interface"]);
  });

  it("of a bound is that bound", () => {
    const bound: Reading = { ...watts(1), limitedBy: "noise" };
    expect(subtractInterface(bound, watts(0.1), power, alike)).toEqual(bound);
  });

  it("of one line is at most the sum of both voltages", () => {
    const bounded = (heard: number, own: number) => {
      const steady = [{ heard, own }];
      const left = subtractInterface(watts(heard), watts(own), power, { outputShare: 1, steady });
      expect(left.bound).toBe("upper");
      return 10 ** (left.value / 10);
    };
    // (1 + 1)²; (1 + √2)², where less is heard than the interface has.
    expect(bounded(1, 1)).toBeCloseTo(4, 9);
    expect(bounded(1, 2)).toBeCloseTo((1 + Math.SQRT2) ** 2, 9);
  });

  it("of one weak line lies between difference and sum of the voltages", () => {
    const steady = [{ heard: 1, own: 0.01 }];
    const left = subtractInterface(watts(1), watts(0.01), power, { outputShare: 1, steady });
    // About (1 − 0.1)² and (1 + 0.1)²: 95 % of a cosine's phases lie within k = √2·sin(0.95·90°)
    // deviations of √2·0.1, here told as 2 for 1.96; k²·0.01 above the difference.
    const k = Math.SQRT2 * Math.sin((0.95 * Math.PI) / 2);
    const reach = (2 / 1.96) * k * Math.SQRT2 * 0.1;
    const [low, high] = ends(left);
    expect(low).toBeCloseTo(0.99 + 0.01 * k ** 2 - reach, 9);
    expect(high).toBeCloseTo(0.99 + 0.01 * k ** 2 + reach, 9);
  });

  it("of one line among weaker ones lies as far as that one's phase lets it", () => {
    // The others are a millionth of it each.
    const steady = [
      { heard: 1e-6, own: 1e-8 },
      { heard: 1, own: 0.01 },
      { heard: 1e-6, own: 1e-8 },
    ];
    const [low, high] = ends(
      subtractInterface(watts(1), watts(0.01), power, { outputShare: 1, steady }),
    );
    const k = Math.SQRT2 * Math.sin((0.95 * Math.PI) / 2);
    const reach = (2 / 1.96) * k * Math.SQRT2 * 0.1;
    expect(low).toBeCloseTo(0.99 + 0.01 * k ** 2 - reach, 4);
    expect(high).toBeCloseTo(0.99 + 0.01 * k ** 2 + reach, 4);
    // Where noise is far stronger it is a normal deviation: 2 of 1.96 on either side.
    const noisy = ends(
      subtractInterface(watts(100, 5), watts(0.01), power, { outputShare: 1, steady }),
    );
    expect((noisy[1] - noisy[0]) / 2).toBeCloseTo(2 * Math.hypot(5, Math.SQRT2 * 0.1), 2);
  });

  it("of two bounds of a voltage is the one heard, and of a bound beside a value the sum", () => {
    const phase = { adds: "phase" } as const;
    const bound = (db: number): Reading => ({ ...level(db, 6), limitedBy: "noise" });
    expect(subtractInterface(bound(-100), bound(-90), phase, alike)).toEqual(bound(-100));
    const left = subtractInterface(bound(-100), level(-100), phase, alike);
    // Twice the voltage.
    expect(left).toEqual({ ...bound(-100), value: expect.closeTo(-100 + 20 * Math.log10(2), 9) });
  });

  it("a bound has no lines of its own that could cancel", () => {
    const hum = { adds: "phase", lines: "humLines" } as const;
    const bound: Reading = { ...level(-100, 6), limitedBy: "noise" };
    const steady = [{ heard: 1e-10, own: 1e-10 }];
    const left = subtractInterface(bound, level(-100), hum, { outputShare: 1, steady });
    expect(left.value).toBeCloseTo(-100 + 20 * Math.log10(2), 9);
    // Nor has a reading without a list of them, or with an empty one.
    for (const [share, lines] of [
      [hum, []],
      [{ adds: "phase" } as const, steady],
    ] as const) {
      const beside = subtractInterface(level(-80, 0), level(-100), share, {
        outputShare: 1,
        steady: lines,
      });
      expect(beside.value).toBe(-80);
      expect(beside.uncertainty).toBeCloseTo(0.912, 3);
    }
  });

  it("a voltage is limited up to √2 of the interface's: 3.01 dB", () => {
    const phase = { adds: "phase" } as const;
    const over = (db: number) => subtractInterface(level(-90 + db), level(-90), phase, alike);
    expect(over(3.0)).toMatchObject({ limitedBy: "interface", bound: "upper", uncertainty: 6 });
    expect(over(3.02)).not.toHaveProperty("limitedBy");
    expect(over(3.02).value).toBeCloseTo(-86.98, 9);
  });

  it("a difference keeps what was common and adds the interface's doubt", () => {
    const heard = { ...level(1, 0.1), common: 0.03 };
    expect(subtractInterface(heard, level(0.25, 0.04), { adds: "difference" }, alike)).toEqual({
      value: 0.75,
      unit: "dBFS",
      uncertainty: Math.hypot(0.1, 0.04),
      common: 0.05,
    });
  });
});
