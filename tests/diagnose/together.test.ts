import { describe, expect, it } from "vitest";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import { computeNoiseSlope, createHighShelf, createLowRollOff } from "../../src/diagnose/shapes.js";
import type { Measurement, Reading } from "../../src/measure/types.js";
import { findBatches } from "../../src/rank/batches.js";
import { computeFamilyStats, groupFamilies } from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading, response } from "../helpers/families.js";
import { slow } from "../helpers/slow.js";

// Expected: circuit theory, worked out beside each case.

const sound: Record<string, Reading> = {
  gain: reading(0, "dB", 0.02),
  hiss: reading(-100, "dBFS", 0.1),
  noise: reading(-99.9, "dBFS", 0.1),
  noiseSlope: reading(0, "dB/octave", 0.2),
  humOdd: reading(-112, "dBFS", 1),
  humEven: reading(-120, "dBFS", 1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  imd: reading(-92),
  linearity: reading(0, "dB", 0.05),
};
const healthy = measurement(sound, { response: response(() => 0) });
const odd = (changes: Record<string, Reading>, db: (hz: number) => number = () => 0) =>
  measurement({ ...sound, ...changes }, { response: response(db) });

function namesOf(one: Measurement): readonly string[] {
  const inputs = family([one, ...Array.from({ length: 10 }, () => healthy)]);
  const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
  return diagnosePath(inputs[0], rankPaths(inputs)[0], { usual }).map(({ cause }) => cause);
}

/** (1−x²)²+(gx/Q)² over (1−x²)²+(x/Q)², Q 1. */
const bell = (middleHz: number, liftDb: number) => (hz: number) => {
  const x = (hz / middleHz) ** 2;
  const db = (of: number) => 10 * Math.log10((1 - x) ** 2 + of * x);
  return db(10 ** (liftDb / 10)) - db(1);
};
const highPass = (cornerHz: number) => (hz: number) => -10 * Math.log10(1 + (cornerHz / hz) ** 2);

describe("two causes at once", () => {
  it("are both named where a bell at the reference hides where a slope begins", slow, () => {
    const [lift, dry] = [bell(1200, 7), highPass(150)];
    const both = (hz: number) => lift(hz) + dry(hz);
    const named = namesOf(
      odd({ gain: reading(both(1000), "dB", 0.02), thd100: reading(-50) }, both),
    );
    expect(named.slice(0, 3)).toContain("equaliser-left-in");
    expect(named.slice(0, 3).some((one) => one.startsWith("dried-"))).toBe(true);
  });

  it("are a pole in the treble and 1/f noise, which a shelf in the treble does not lift", () => {
    const pole = (hz: number) => -10 * Math.log10(1 + (hz / 11_000) ** 2);
    const rumbling = { noiseSlope: reading(-4, "dB/octave", 0.2), noise: reading(-96, "dBFS") };
    const named = namesOf(odd(rumbling, pole));
    expect(named[0]).toBe("high-loss");
    expect(named.slice(0, 3)).toContain("noisy-device");
  });

  // Power series: a second harmonic goes with the level, a third with its square.
  const bent = [0, 6, 10, 12, 14, 17].map((db) => ({
    aboveNominalDb: db,
    gainDb: 0,
    uncertainty: 0.01,
    distortionDb: -56 + db,
  }));
  const smooth = {
    thd: reading(-56),
    thd100: reading(-56),
    thdHot: reading(-44),
    imd: reading(-55),
  };

  it("are hiss and a smooth bend, and no oscillation, where harmonics keep the law of their order", () => {
    const hissing = { hiss: reading(-92, "dBFS", 0.1), noise: reading(-92, "dBFS", 0.1) };
    const named = namesOf({ ...odd({ ...smooth, ...hissing }), steps: bent });
    expect([...named.slice(0, 2)].sort()).toEqual(["noisy-device", "smooth-distortion"]);
  });

  it("are a gap and a smooth bend where distortion falls with level, and then grows", () => {
    const low = [-40, -20].map((db) => ({
      ...bent[0],
      aboveNominalDb: db,
      distortionDb: -54 - db / 2,
    }));
    const gap = { linearity: reading(-6, "dB", 0.05) };
    const named = namesOf({ ...odd({ ...smooth, ...gap }), steps: [...low, ...bent] });
    expect(named.slice(0, 3)).toContain("smooth-distortion");
    expect(named.slice(0, 3)).toContain("crossover-distortion");
  });

  it("are a lost level and a supply's even lines, which no cable gathers without odd ones", () => {
    const rippled = { humEven: reading(-80, "dBFS", 1), noise: reading(-80, "dBFS", 0.1) };
    const faded = { gain: reading(-5, "dB", 0.02), hiss: reading(-104, "dBFS", 0.1) };
    const named = namesOf(odd({ ...rippled, ...faded }));
    expect([...named.slice(0, 2)].sort()).toEqual(["gain-off", "supply-ripple"]);
  });

  it("are a bell at 1 kHz and the noise of a device, of which the bell lifts little", () => {
    // Of white noise nine tenths lie above 2 kHz: a bell of 3.5 dB lifts it by a tenth of that, and never by 5.
    const lift = bell(1000, 3.5);
    const named = namesOf(
      odd(
        {
          gain: reading(3.5, "dB", 0.02),
          hiss: reading(-95, "dBFS", 0.1),
          noise: reading(-94.9, "dBFS", 0.1),
          noiseSlope: reading(-2.4, "dB/octave", 0.2),
        },
        (hz) => lift(hz) - lift(1000),
      ),
    );
    expect([...named.slice(0, 2)].sort()).toEqual(["equaliser-left-in", "noisy-device"]);
  });

  it("are a lost level and hiss, as four equal resistors hiss no more with one leg open", () => {
    const named = namesOf(
      odd({
        gain: reading(-12, "dB", 0.02),
        hiss: reading(-90, "dBFS", 0.1),
        noise: reading(-90, "dBFS", 0.1),
      }),
    );
    expect(named[0]).not.toBe("open-leg");
    expect(named.slice(0, 3)).toContain("noisy-device");
  });
});

it("a stage with one half of its swing lost clips, however slowly that grows beyond its threshold", () => {
  // A sine of 1, 6 dB above nominal, cut at 0.6 on one side: the cut piece is a pulse of every harmonic, which
  // grows ever more slowly from there on; at nominal, 0.5, nothing is cut. Harmonics 2 to 10 of the cut sine.
  const distortionDb = (amplitude: number) => {
    const count = 4096;
    const cut = Array.from({ length: count }, (_, n) =>
      Math.min(0.6, amplitude * Math.sin((2 * Math.PI * n) / count)),
    );
    const power = (k: number) => {
      const turn = (n: number) => (2 * Math.PI * k * n) / count;
      const re = cut.reduce((sum, v, n) => sum + v * Math.cos(turn(n)), 0);
      const im = cut.reduce((sum, v, n) => sum + v * Math.sin(turn(n)), 0);
      return re * re + im * im;
    };
    const harmonics = [2, 3, 4, 5, 6, 7, 8, 9, 10].reduce((sum, k) => sum + power(k), 0);
    return 10 * Math.log10(harmonics / power(1));
  };
  const steps = [6, 10, 12, 14, 17].map((db) => ({
    aboveNominalDb: db,
    gainDb: 0,
    uncertainty: 0.01,
    distortionDb: distortionDb(0.5 * 10 ** (db / 20)),
  }));
  const clipped = odd({
    thdHot: reading(steps[2].distortionDb),
    compression: reading(-3, "dB", 0.01),
  });
  expect(namesOf({ ...clipped, steps })[0]).toBe("early-clipping");
});

it("an outlier in the noise alone is no dry capacitor", () => {
  const named = namesOf(odd({ noise: reading(-94, "dBFS", 0.1), hiss: reading(-94.2, "dBFS") }));
  expect(named.some((one) => one.startsWith("dried-"))).toBe(false);
});

it("a remnant of which half is distortion comes from an output that rests at a rail", () => {
  const remnant = {
    gain: reading(-25, "dB", 0.1),
    hiss: reading(-125, "dBFS", 0.5),
    noise: reading(-125, "dBFS", 0.5),
    // A rectified sine has −4.4 dB of harmonics below its fundamental: 2nd 2/(3π)·2, 4th 2/(15π)·2.
    thd: reading(-4),
    thd100: reading(-4),
    thdHot: reading(-6),
    imd: reading(-5),
  };
  expect(namesOf(odd(remnant))[0]).toBe("op-amp-latched");
});

it("what passes less than half of each swing rests at a rail, and loses no more than 6 dB", () => {
  // Conduction for 160° of a swing, class C: a1 = (θ − sin θ·cos θ)/π, θ = 80°: −8.2 dB; the second
  // harmonic 5.7 dB below it, the third 20.9 dB, all together 5.4 dB.
  const part = {
    gain: reading(-8.2, "dB", 0.1),
    thd: reading(-5.4),
    thd100: reading(-5.4),
    thdHot: reading(-5.4),
    imd: reading(-5),
    harmonic2: reading(-5.7),
  };
  expect(namesOf(odd({ ...part, harmonic3: reading(-20.9) }))[0]).toBe("op-amp-latched");
  // What takes as much from both halves has odd harmonics.
  expect(namesOf(odd({ ...part, harmonic3: reading(-5.7) }))[0]).not.toBe("op-amp-latched");
});

it("the slope of noise is that of the shape where that is a straight line, and none far above", () => {
  expect(computeNoiseSlope((hz) => -3 * Math.log2(hz))).toBeCloseTo(-3, 9);
  expect(Math.abs(computeNoiseSlope(createHighShelf(8000, -12)))).toBeLessThan(0.05);
  // Below a first-order corner 6.02 dB per octave.
  expect(computeNoiseSlope(createLowRollOff(20_000, 1))).toBeCloseTo(20 * Math.log10(2), 1);
});

it("siblings with one fault alike are no second batch, and leave the healthy ones together", () => {
  const ill = odd({ thd: reading(-50), thdHot: reading(-55), hiss: reading(-85, "dBFS", 0.1) });
  const near = (k: number) =>
    odd({
      thd: reading(-90 + 0.1 * k),
      thdHot: reading(-80 + 0.1 * k),
      hiss: reading(-100 + 0.02 * k, "dBFS", 0.1),
    });
  const paths = family([near(0), near(1), near(2), near(3), near(4), near(5), ill, ill]);
  expect(findBatches(paths)).toEqual([]);
});
