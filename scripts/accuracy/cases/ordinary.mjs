// A whole return of the standard signal: filters, a polynomial for distortion, noise, mains lines,
// an offset. Every reading of it is known in closed form or by an integral.

import { buildOctaveGrid } from "../../../dist/dsp/octave-grid.js";
import { computeAWeighting } from "../../../dist/dsp/weighting.js";
import { measureReturn } from "../../../dist/measure/measure.js";
import { bandEdge } from "../../../dist/measure/noise-bands.js";
import { computeEquivalentInputNoise } from "../../../dist/measure/readings/ein.js";
import { addLine } from "../add-line.mjs";
import { noisePower, noiseSource } from "../noise.mjs";
import { curveOutcomes, readingOutcomes } from "../outcomes.mjs";
import { between, gaussian, logBetween, sign } from "../random.mjs";
import {
  magnitude,
  nominal,
  nominalDbfs,
  playedSignal,
  tableOf,
  throughFilters,
} from "../render.mjs";

const db = (ratio) => 20 * Math.log10(ratio);
const powerDb = (ratio) => 10 * Math.log10(ratio);

const names = ["silence", "sweep", "tone-1k", "tone-100", "twin", "steps-1k"];
const tables = { base: tableOf(names), wide: tableOf(names, "wide") };

export function run(next) {
  const made = draw(next);
  const { samples, origin, clock } = render(made, next);
  const { sampleRate, mainsHz, table } = made;
  const nominalMainsHz = Math.round(mainsHz / 10) * 10;
  const audio = { samples, origin, clock, sampleRate, table, mainsHz: nominalMainsHz };
  const { readings, curves } = measureReturn(audio);
  const outcomes = readingOutcomes(withEin(readings, made, next), truthsOf(made));
  const curve = (id, truthAt) => curveOutcomes(`${id} curve`, curves[id], truthAt);
  if (curves.response)
    outcomes.push(
      ...curve("response", (hz) => (meets(made, hz) ? undefined : responseTruth(made, hz))),
    );
  for (const [id, index] of [
    ["harmonic2", 1],
    ["harmonic3", 2],
  ]) {
    if (curves[id]) outcomes.push(...curve(id, (hz) => harmonicTruth(made, hz, index)));
  }
  if (curves.distortion) {
    outcomes.push(...curve("distortion", (hz) => (hz > 4000 ? undefined : thd(made, hz))));
  }
  if (curves.noise) outcomes.push(...curve("noise", (hz) => bandTruth(made, hz)));
  if (curves.humLines) {
    outcomes.push(
      ...curve("humLines", (hz) => {
        const line = made.hum[Math.round(hz / nominalMainsHz) - 1];
        return line > 0 ? db(line) : Number.NEGATIVE_INFINITY;
      }),
    );
  }
  return outcomes;
}

function draw(next) {
  const dice = next();
  const sampleRate = dice < 0.5 ? 48_000 : dice < 0.92 ? 44_100 : 96_000;
  const humDbfs = between(next, -120, -80);
  const hum = Array.from({ length: 20 }, (_, k) => {
    if (k > 0 && next() < 0.7) return 0;
    return 10 ** ((humDbfs - (k === 0 ? 0 : between(next, 0, 30))) / 20);
  });
  return {
    sampleRate,
    table: tables[sampleRate > 48_000 ? "wide" : "base"],
    gainDb: between(next, -12, 3),
    lowHz: logBetween(next, 1, 60),
    highHz: logBetween(next, 9000, 200_000),
    b: sign(next) * logBetween(next, 1e-4, 1e-2),
    c: sign(next) * logBetween(next, 1e-4, 1e-2),
    noise: {
      rmsDbfs: between(next, -110, -80),
      share: next() < 0.5 ? 0 : logBetween(next, 1, 30),
    },
    hum,
    mainsHz: (next() < 0.5 ? 50 : 60) + between(next, -0.1, 0.1),
    polarity: sign(next),
    offset: between(next, -1e-4, 1e-4),
    socketDbu: between(next, -20, 4),
    socketDb: between(next, 0.05, 0.3),
  };
}

function render(made, next) {
  const { sampleRate, hum, mainsHz, b, c, polarity, offset } = made;
  const played = playedSignal(made.table, sampleRate, next);
  const { samples, clock } = played;
  throughFilters(samples, made, clock);
  const noise = noiseSource(made.noise, sampleRate, next);
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i];
    samples[i] = polarity * (x + b * x * x + c * x * x * x) + offset + noise();
  }
  hum.forEach((amplitude, k) => {
    if (amplitude > 0) addLine(samples, amplitude, ((k + 1) * mainsHz) / sampleRate, next());
  });
  return played;
}

/** The level at the socket is known as well as it says, and no better. */
function withEin(readings, made, next) {
  const { socketDb } = made;
  const socketDbu = made.socketDbu + (socketDb / 1.96) * gaussian(next)();
  const ein = computeEquivalentInputNoise(readings, { socketDbu, socketDb, sourceOhm: 150 });
  return typeof ein === "object" ? { ...readings, ein } : readings;
}

/** Harmonics 1, 2, 3 of x + b·x² + c·x³ for a sine of peak a. */
function harmonics({ b, c }, a) {
  return [a + 0.75 * c * a ** 3, (b * a * a) / 2, (c * a ** 3) / 4];
}

function thd(made, hz, above = 0) {
  const a = nominal * 10 ** (above / 20) * magnitude(made, hz);
  const [first, second, third] = harmonics(made, a);
  return db(Math.hypot(second, third) / Math.abs(first));
}

function humPower(made, fromHz, toHz, weight = () => 1) {
  return made.hum.reduce((sum, a, k) => {
    const hz = (k + 1) * made.mainsHz;
    return hz >= fromHz && hz <= toHz ? sum + ((a * a) / 2) * weight(hz) : sum;
  }, 0);
}

function noiseTruth(made, fromHz, toHz, weight) {
  const top = Math.min(toHz, made.sampleRate / 2);
  return (
    noisePower(made.noise, made.sampleRate, fromHz, top, weight) +
    humPower(made, fromHz, top, weight)
  );
}

/** Third-octave band with exact base-ten edges (IEC 61260-1). */
const band = (made, hz) => noisePower(made.noise, made.sampleRate, hz / bandEdge, hz * bandEdge);

const bandTruth = (made, hz) => powerDb(2 * band(made, hz));

/** Line through the third-octave bands from 25 Hz to 400 Hz, weighted by width. */
function slopeTruth(made) {
  const bands = buildOctaveGrid(3, 25, 400);
  const total = bands.reduce((sum, hz) => sum + hz, 0);
  const middle = bands.reduce((sum, hz) => sum + hz * Math.log2(hz), 0) / total;
  let spread = 0;
  let product = 0;
  for (const hz of bands) {
    const away = Math.log2(hz) - middle;
    spread += hz * away * away;
    product += hz * away * powerDb(band(made, hz) / hz);
  }
  return product / spread;
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
  const at = (level) => {
    const a = nominal * 10 ** (level / 20) * magnitude(made, 1000);
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

/** Reading id to the true value. */
function truthsOf(made) {
  const [first, second, third] = harmonics(made, nominal * magnitude(made, 1000));
  const level = db(first);
  const noise = powerDb(2 * noiseTruth(made, 22.4, 22_400));
  const lines = made.hum.map((a) => a * a);
  const sum = (counts) => lines.reduce((all, p, k) => (counts(k + 1) ? all + p : all), 0);
  const odd = sum((n) => n % 2 === 1);
  const even = sum((n) => n % 2 === 0);
  const rest = (second ** 2 + third ** 2) / 2 + noiseTruth(made, 20, 20_000);
  const tones = differenceTones(made);
  return {
    level,
    gain: level - nominalDbfs,
    polarity: made.polarity,
    thd: thd(made, 1000),
    thd100: thd(made, 100),
    thdHot: thd(made, 1000, 12),
    harmonic2: db(Math.abs(second / first)),
    harmonic3: db(Math.abs(third / first)),
    thdN: powerDb(rest / (first ** 2 / 2)),
    compression: gainChange(made, 12),
    noise,
    noiseA: powerDb(2 * noiseTruth(made, 22.4, 22_400, (hz) => computeAWeighting(hz) ** 2)),
    hiss: powerDb(
      2 * noisePower(made.noise, made.sampleRate, 22.4, Math.min(22_400, made.sampleRate / 2)),
    ),
    noiseSlope: slopeTruth(made),
    noise20k: powerDb(2 * noiseTruth(made, 20, 20_000)),
    ein: powerDb(2 * noiseTruth(made, 20, 20_000)) - level + made.socketDbu,
    hum: powerDb(odd + even),
    humOdd: powerDb(odd),
    humEven: powerDb(even),
    mains: made.mainsHz,
    clicks: 0,
    breaks: 0,
    dc: 100 * made.offset,
    cornerLow: corner(made, 1000, 0.1),
    cornerHigh: corner(made, 1000, 1e6),
    orderLow: 1,
    orderHigh: 1,
    imd: db(Math.hypot(tones.second, tones.third)),
    imd2: db(tones.second),
    imd3: db(tones.third),
    linearity: [-60, -40, -20]
      .map((above) => gainChange(made, above))
      .reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a)),
  };
}

/** Against the fundamental; undefined above 4 kHz, where the polynomial's products fold back. */
function harmonicTruth(made, hz, index) {
  if (hz > 4000) return undefined;
  const h = harmonics(made, nominal * magnitude(made, hz));
  return db(Math.abs(h[index] / h[0]));
}

/**
 * Where products of the polynomial, folded back at half the sample rate, meet the sweep itself:
 * no converter does that to what it records.
 */
const meets = ({ sampleRate }, hz) =>
  [3, 4].some((part) => Math.abs(hz / (sampleRate / part) - 1) < 0.05);

/** The response at a frequency, decibels above that at 1 kHz, with the sweep's own compression. */
function responseTruth(made, hz) {
  const through = (f) => harmonics(made, nominal * magnitude(made, f))[0];
  return db(through(hz) / through(1000));
}
