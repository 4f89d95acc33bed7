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

/** Difference tones of 19 and 20 kHz, each against the sum of both tones. */
function differenceTones(made) {
  const { b, c } = made;
  const low = (nominal / 2) * magnitude(made, 19_000);
  const high = (nominal / 2) * magnitude(made, 20_000);
  const first = (own, other) => own + c * (0.75 * own ** 3 + 1.5 * own * other ** 2);
  const sum = first(low, high) + first(high, low);
  const second = Math.abs(b * low * high) / sum;
  const third = Math.abs(0.75 * c * low * high * (low + high)) / sum;
  return { second, third };
}

/** Gain at a level above nominal against that at nominal. */
function gainChange(made, aboveDb) {
  const at = (db_) => {
    const a = nominal * 10 ** (db_ / 20) * magnitude(made, 1000);
    return db(harmonics(made, a)[0] / a);
  };
  return at(aboveDb) - at(0);
}

/** Where the response lies half the power below 1 kHz, between two frequencies. */
function corner(made, nearHz, farHz) {
  let near = nearHz;
  let far = farHz;
  for (let pass = 0; pass < 60; pass++) {
    const middle = Math.sqrt(near * far);
    if (responseTruth(made, middle) > powerDb(0.5)) near = middle;
    else far = middle;
  }
  return near;
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
  hiss: (m) => powerDb(2 * noisePower(m, 22.4, 22_400)),
  noiseSlope: () => 0,
  hum: (m) => m.humDbfs,
  humOdd: (m) => m.humDbfs,
  mains: (m) => m.mainsHz,
  clicks: () => 0,
  instability: () => 0,
  dc: () => 0,
  cornerLow: (m) => corner(m, 1000, 0.1),
  cornerHigh: (m) => corner(m, 1000, 1e6),
  orderLow: () => 1,
  orderHigh: () => 1,
  imd: (m) => db(Math.hypot(differenceTones(m).second, differenceTones(m).third)),
  imd2: (m) => db(differenceTones(m).second),
  imd3: (m) => db(differenceTones(m).third),
  linearity: (m) =>
    [-60, -40, -20]
      .map((level) => gainChange(m, level))
      .reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a)),
};

/**
 * Curves with a floor: the true value at a frequency, decibels; undefined above 4 kHz, where what
 * the polynomial makes folds back at half the sample rate.
 */
export const curveTruths = {
  harmonic2: (m, hz) => harmonicTruth(m, hz, 1),
  harmonic3: (m, hz) => harmonicTruth(m, hz, 2),
  distortion: (m, hz) => (hz > 4000 ? undefined : thd(m, hz)),
};

function harmonicTruth(made, hz, index) {
  if (hz > 4000) return undefined;
  const h = harmonics(made, nominal * magnitude(made, hz));
  return db(Math.abs(h[index] / h[0]));
}

/** The response at a frequency, decibels above that at 1 kHz, with the sweep's own compression. */
export function responseTruth(made, hz) {
  const through = (f) => harmonics(made, nominal * magnitude(made, f))[0];
  return db(through(hz) / through(1000));
}
