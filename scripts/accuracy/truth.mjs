// What every reading of a virtual return ought to be, in closed form.
import { aWeighting } from "../../dist/dsp/weighting.js";
import { magnitude } from "./virtual-return.mjs";

const db = (ratio) => 20 * Math.log10(ratio);
const powerDb = (ratio) => 10 * Math.log10(ratio);
const nominal = 10 ** (-18 / 20);
const halfRate = 24_000;

/** Harmonics 1, 2, 3 of x + b·x² + c·x³ for a sine of peak a. */
function harmonics({ b, c }, a) {
  return [a + 0.75 * c * a ** 3, (b * a * a) / 2, (c * a ** 3) / 4];
}

function thd(made, hz, above = 0) {
  const a = nominal * 10 ** (above / 20) * magnitude(made, hz);
  const [first, second, third] = harmonics(made, a);
  return db(Math.hypot(second, third) / Math.abs(first));
}

/** White noise power between two frequencies, full-scale sine 1/2. */
function noisePower(made, fromHz, toHz) {
  return (0.5 * 10 ** (made.noiseDbfs / 10) * (toHz - fromHz)) / halfRate;
}

const humPower = (made) => 0.5 * 10 ** (made.humDbfs / 10);

function weighted(made) {
  let white = 0;
  for (let hz = 22.4; hz < 22_400; hz += 2) white += 2 * aWeighting(hz + 1) ** 2;
  return noisePower(made, 0, 1) * white + humPower(made) * aWeighting(made.mainsHz) ** 2;
}

/** Reading id to the true value of a virtual return; undefined where the reading has none. */
export const truths = {
  level: (m) => db(harmonics(m, nominal * magnitude(m, 1000))[0]),
  gain: (m) => db(harmonics(m, nominal * magnitude(m, 1000))[0] / nominal),
  polarity: () => 1,
  thd: (m) => thd(m, 1000),
  thd100: (m) => thd(m, 100),
  thdHot: (m) => thd(m, 1000, 12),
  harmonic2: (m) => {
    const h = harmonics(m, nominal * magnitude(m, 1000));
    return db(Math.abs(h[1] / h[0]));
  },
  harmonic3: (m) => {
    const h = harmonics(m, nominal * magnitude(m, 1000));
    return db(Math.abs(h[2] / h[0]));
  },
  thdN: (m) => {
    const h = harmonics(m, nominal * magnitude(m, 1000));
    const rest = (h[1] ** 2 + h[2] ** 2) / 2 + noisePower(m, 20, 20_000) + humPower(m);
    return powerDb(rest / (h[0] ** 2 / 2));
  },
  compression: (m) => {
    const low = harmonics(m, nominal * magnitude(m, 1000))[0];
    const high = harmonics(m, nominal * 10 ** 0.6 * magnitude(m, 1000))[0];
    return db(high / low) - 12;
  },
  noise: (m) => powerDb(2 * (noisePower(m, 22.4, 22_400) + humPower(m))),
  noiseA: (m) => powerDb(2 * weighted(m)),
  hum: (m) => m.humDbfs,
};

/** The response at a frequency, decibels above that at 1 kHz, with the sweep's own compression. */
export function responseTruth(made, hz) {
  const through = (f) => harmonics(made, nominal * magnitude(made, f))[0];
  return db(through(hz) / through(1000));
}
