import { describe, expect, test } from "vitest";
import { virtualDesk } from "../../src/simulate/desk.js";
import { legGains, receiverNoiseV2 } from "../../src/simulate/stages/legs.js";
import type { PathValues, Receiver } from "../../src/simulate/types.js";
import { decibel } from "./tone.js";

const leg = { sourceOhm: 50, contactOhm: 0, shuntOhm: 1e18 };
const difference: Receiver = {
  kind: "difference",
  hotSeriesOhm: 20_000,
  hotShuntOhm: 5000,
  coldSeriesOhm: 20_000,
  coldFeedbackOhm: 5000,
  amplifierNoiseV: 0,
};
const anyPath = virtualDesk({
  seed: 1,
  strips: 1,
  inputs: ["line"],
  mainsHz: 50,
  faults: [],
}).paths["1/line"];
const path: PathValues = { ...anyPath, hot: leg, cold: leg, receiver: difference };

describe("a difference amplifier", () => {
  test("of matched resistors has the gain R2/R1 and none for what both legs share", () => {
    // Closed form of the four-resistor difference amplifier, source resistance added to R1.
    const { differential, common } = legGains(path);
    expect(differential).toBeCloseTo(5000 / 20_050, 12);
    expect(common).toBeCloseTo(0, 12);
  });

  test("with one resistor off by 1 % lets through 0.01·R1/(R1 + R2) of the gain", () => {
    // First order in the mismatch: ΔG/G = ε·R1/(R1 + R2) for the shunt resistor of the hot leg.
    const receiver = { ...difference, hotShuntOhm: 5050 };
    const { differential, common } = legGains({ ...path, receiver });
    expect(common / differential / ((0.01 * 20_050) / 25_050)).toBeCloseTo(1, 1);
  });

  test("with the hot leg open loses 6.02 dB and hears everything on the cold leg", () => {
    const open = { ...leg, contactOhm: 1e15, shuntOhm: 47_000 };
    const loaded = { ...leg, shuntOhm: 47_000 };
    const sound = legGains({ ...path, hot: loaded, cold: loaded });
    const ailing = legGains({ ...path, hot: open, cold: loaded });
    expect(decibel(ailing.differential / sound.differential)).toBeCloseTo(-6.02, 2);
    expect(ailing.common).toBeCloseTo(-2 * ailing.differential, 9);
  });

  test("makes the thermal noise of its four resistors", () => {
    // 4kT·[(R1‖R2)(1 + G)² + R1·G² + R2], G = R2/R1; at 300 K 4kT = 1.6568e-20 J.
    const g = 5000 / 20_050;
    const together = (20_050 * 5000) / 25_050;
    const expected = 1.6567788e-20 * (together * (1 + g) ** 2 + 20_050 * g * g + 5000);
    expect(receiverNoiseV2(path) / expected).toBeCloseTo(1, 6);
  });
});

describe("a pair of input devices", () => {
  const pair: PathValues = {
    ...path,
    hot: { sourceOhm: 75, contactOhm: 0, shuntOhm: 1200 },
    cold: { sourceOhm: 75, contactOhm: 0, shuntOhm: 1200 },
    receiver: { kind: "pair", seriesOhm: 0, imbalance: 0 },
  };

  test("sees the source divided by the shunts", () => {
    expect(legGains(pair).differential).toBeCloseTo(1200 / 1275, 12);
  });

  test("with swapped wiring turns the signal over and nothing else", () => {
    const swapped = legGains({ ...pair, wiring: "swapped" });
    expect(swapped.differential).toBeCloseTo(-1200 / 1275, 12);
  });

  test("loses 6.02 dB with one leg open and no longer cancels", () => {
    const open = { ...pair.hot, contactOhm: 1e15 };
    const ailing = legGains({ ...pair, hot: open });
    expect(decibel(ailing.differential / legGains(pair).differential)).toBeCloseTo(-6.02, 2);
    expect(Math.abs(ailing.common)).toBeCloseTo(1200 / 1275, 9);
  });
});
