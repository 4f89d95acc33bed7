import { describe, expect, it } from "vitest";
import { harmonicCurveKinds } from "../../src/measure/harmonic-curves.js";
import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Curve } from "../../src/measure/types.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { highPass1, lowPass1, throughFilter } from "../helpers/analogue.js";
import { addNoise } from "../helpers/captures.js";
import { excerpt, returnThrough } from "../helpers/excerpt.js";
import { slow } from "../helpers/slow.js";

// Expected values, closed form: y = x + b·x² + c·x³ of x = a·cos θ has the fundamental a + ¾c·a³,
// the second harmonic b·a²/2 and the third c·a³/4; a filter before the bend sets a at f, one behind
// it shapes harmonic n at n·f (Novak et al. 2015, sect. 1). The sample rate leaves room above the
// sweep for what the bend makes, so that nothing folds back.

const rate = 96_000;
const nominal = 10 ** (-18 / 20);
const db = (ratio: number) => 20 * Math.log10(ratio);
const size = ([re, im]: readonly [number, number]) => Math.hypot(re, im);

function curvesOf(audio: ReturnAudio): Record<string, Curve> {
  const context = createReturnContext(audio);
  const made = harmonicCurveKinds.map(({ id, make }) => [id, make(context)] as const);
  for (const [id, curve] of made) expect(typeof curve, id).toBe("object");
  return Object.fromEntries(made) as Record<string, Curve>;
}

const sweepOf = (profile: "quick" | "standard" | "full") =>
  excerpt(buildSignalTable(profile, "base"), ["silence", "sweep"]);

describe("harmonics against frequency", () => {
  it("are those of a known polynomial at −110 dB within 0.1 dB, from 20 Hz up", () => {
    const b = 5e-5;
    const c = -8e-4;
    const audio = returnThrough(sweepOf("standard"), rate, (x) => x + b * x * x + c * x ** 3);
    const { harmonic2, harmonic3, distortion } = curvesOf(audio);
    const first = nominal + 0.75 * c * nominal ** 3;
    const second = (b * nominal ** 2) / 2 / first;
    const third = Math.abs(c * nominal ** 3) / 4 / first;
    expect(db(second)).toBeLessThan(-110);
    for (const y of harmonic2.y) expect(Math.abs(y - db(second))).toBeLessThan(0.1);
    for (const y of harmonic3.y) expect(Math.abs(y - db(third))).toBeLessThan(0.1);
    harmonic3.x.forEach((_, i) => {
      expect(Math.abs(distortion.y[i] - db(Math.hypot(second, third)))).toBeLessThan(0.1);
    });
  });

  it("carry the filter before the bend at f and the one behind it at n·f, within the uncertainty", () => {
    const b = 0.01;
    const c = -0.02;
    const before = highPass1(30);
    const behind = lowPass1(8000);
    for (const profile of ["quick", "standard"] as const) {
      const dry = returnThrough(sweepOf(profile), rate, (x) => x);
      const bent = throughFilter(dry.samples, rate, before).map((x) => x + b * x * x + c * x ** 3);
      const curves = curvesOf({ ...dry, samples: throughFilter(bent, rate, behind) });
      for (const order of [2, 3]) {
        const { x, y, uncertainty } = curves[`harmonic${order}`];
        x.forEach((hz, i) => {
          const a = nominal * size(before(hz));
          const own = order === 2 ? (b * a * a) / 2 : Math.abs(c * a ** 3) / 4;
          const first = (a + 0.75 * c * a ** 3) * size(behind(hz));
          const expected = db((own * size(behind(order * hz))) / first);
          const where = `${profile}, harmonic ${order} of ${hz} Hz`;
          expect(Math.abs(y[i] - expected), where).toBeLessThan(uncertainty[i]);
          if (hz > 200) expect(Math.abs(y[i] - expected), where).toBeLessThan(0.02);
        });
      }
    }
  });

  it("have a floor of their own below −140 dB where the sweep is slow enough to tell orders apart", () => {
    for (const [profile, fromHz] of [
      ["quick", 100],
      ["standard", 50],
      ["full", 20],
    ] as const) {
      const curves = curvesOf(returnThrough(sweepOf(profile), rate, (x) => x));
      for (const [id, { x, y }] of Object.entries(curves)) {
        const most = Math.max(...y.filter((_, i) => x[i] > fromHz));
        expect(most, `${profile} ${id}`).toBeLessThan(-140);
      }
    }
  });

  it("begin at one grid point for all orders, where the quick sweep can tell them apart, and stay short", () => {
    for (const [profile, lowestHz] of [
      ["quick", 25.1],
      ["standard", 20],
    ] as const) {
      for (const curve of Object.values(
        curvesOf(returnThrough(sweepOf(profile), rate, (x) => x)),
      )) {
        expect(curve.x[0]).toBeCloseTo(lowestHz, 0);
        expect(curve.x.length).toBeLessThanOrEqual(60);
        expect(curve.floor?.length).toBe(curve.x.length);
      }
    }
  });

  it(
    "hold the truth as often as they say in noise, and their bounds where they drown",
    slow,
    () => {
      const b = 0.01;
      const c = -0.02;
      const first = nominal + 0.75 * c * nominal ** 3;
      const truth: Record<string, number> = {
        harmonic2: db((b * nominal ** 2) / 2 / first),
        harmonic3: db(Math.abs(c * nominal ** 3) / 4 / first),
        harmonic4: Number.NEGATIVE_INFINITY,
      };
      const clean = returnThrough(sweepOf("quick"), rate, (x) => x + b * x * x + c * x ** 3);
      let made = 0;
      let held = 0;
      let bounds = 0;
      let broken = 0;
      for (let seed = 1; seed <= 12; seed++) {
        const samples = Float64Array.from(clean.samples);
        addNoise(samples, 6e-5 / seed, seed);
        const curves = curvesOf({ ...clean, samples });
        for (const [id, expected] of Object.entries(truth)) {
          const { y, uncertainty, floor = [] } = curves[id];
          y.forEach((value, i) => {
            expect(value).toBeGreaterThanOrEqual(floor[i]);
            if (value === floor[i]) {
              bounds++;
              if (expected > value) broken++;
            } else {
              made++;
              if (Math.abs(value - expected) <= uncertainty[i]) held++;
            }
          });
        }
      }
      // binomial, some 1200 points of which neighbours share no noise: 93 % to 99 % is sure at 95 % to 98 %
      expect(held / made).toBeGreaterThan(0.93);
      expect(held / made).toBeLessThan(0.99);
      expect(bounds).toBeGreaterThan(500);
      expect(broken / bounds).toBeLessThan(0.03);
    },
  );
});
