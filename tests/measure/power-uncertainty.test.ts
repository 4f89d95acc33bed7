import { expect, test } from "vitest";
import {
  computeNoiseBiasDb,
  computeNoiseUncertaintyDb,
} from "../../src/measure/power-uncertainty.js";

// scipy.special.polygamma(1, a) and log(a) − digamma(a), version 1.17.1, in decibels of power.
test.each([
  // shape a, 1.96 · 10/ln 10 · √ψ′(a), 10/ln 10 · (ln a − ψ(a))
  [4, 4.534862692, 0.56535019],
  [10, 2.760442808, 0.22076276],
  [100, 0.85334965, 0.021750914],
])("of a power of shape %i", (shape, uncertainty, bias) => {
  // the asymptotic series is good to some thousandths from 4 on
  const stdDev = 7 / Math.sqrt(shape);
  expect(Math.abs(computeNoiseUncertaintyDb(7, stdDev) / uncertainty - 1)).toBeLessThan(1e-3);
  expect(Math.abs(computeNoiseBiasDb(7, stdDev) / bias - 1)).toBeLessThan(1e-3);
});

test("at few degrees of freedom within one per cent, as said", () => {
  expect(Math.abs(computeNoiseUncertaintyDb(1, 1) / 10.9172846 - 1)).toBeLessThan(0.01);
  expect(Math.abs(computeNoiseUncertaintyDb(2, Math.SQRT2) / 6.8359368 - 1)).toBeLessThan(0.01);
});

test("what does not scatter has neither", () => {
  expect([computeNoiseUncertaintyDb(1, 0), computeNoiseBiasDb(1, 0)]).toEqual([0, 0]);
  expect([computeNoiseUncertaintyDb(0, 0), computeNoiseBiasDb(0, 0)]).toEqual([0, 0]);
});
