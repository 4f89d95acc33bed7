// White noise through a BS.468 meter of another make: the network put onto the spectrum in closed form at
// eight times the rate, and a circuit whose second capacitor draws on the first, its constants fitted to
// Tables 2 and 3 apart from ours (every burst within a fifth of its tolerance). What it reads in the long
// run has no closed form: it is read over minutes of noise. Every third return has a whistle far above its
// noise instead, some locked to the clock, whose samples meet the same few points of the wave again and
// again; what is read is the network at its frequency, and what that meter makes of the sine.
import { createFftPlan } from "../../../dist/dsp/fft.js";
import { compute468Weighting } from "../../../dist/dsp/weighting.js";
import { addLine } from "../add-line.mjs";
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, gaussian, generator, logBetween } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence"]);

/** Sixteen, twelve, eight and six kilohertz: three to eight samples a period. */
const locked = [3, 4, 6, 8].map((samples) => sampleRate / samples);

export function run(next) {
  if (next() < 1 / 3) return withWhistle(next);
  const noise = { rmsDbfs: between(next, -110, -60), share: 0 };
  const played = playedSignal(table, sampleRate, next);
  const { samples } = played;
  const source = noiseSource(noise, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] = source();
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, ["noise468"]);
  return readingOutcomes(
    { noise468: readings.noise468 },
    { noise468: noise.rmsDbfs + longRunDb() },
  );
}

function withWhistle(next) {
  const isLocked = next() < 0.6;
  const hz = isLocked ? locked[Math.floor(locked.length * next())] : logBetween(next, 2000, 20_000);
  const dbfs = between(next, -80, -30);
  const { re, im } = compute468Weighting(hz);
  const weightedDbfs = dbfs + 20 * Math.log10(Math.hypot(re, im));
  const noise = { rmsDbfs: weightedDbfs - between(next, 45, 60), share: 0 };
  const played = playedSignal(table, sampleRate, next);
  const source = noiseSource(noise, sampleRate, next);
  const { samples } = played;
  for (let i = 0; i < samples.length; i++) samples[i] = source();
  addLine(samples, 10 ** (dbfs / 20), hz / sampleRate, next());
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, ["noise468"]);
  const meter = otherMeter(finer * sampleRate);
  const shown = meter(sine(hz), 2) / otherMeter(finer * sampleRate)(sine(1000), 2);
  const truth = weightedDbfs + 20 * Math.log10(shown);
  return readingOutcomes(
    { "noise468 of whistles": readings.noise468 },
    { "noise468 of whistles": truth },
  );
}

let kept;

/** Mean of the highest of each second of white noise, against its r.m.s. level, decibels. */
function longRunDb() {
  kept ??= longRun();
  return kept;
}

const finer = 8;
const size = 2 ** 18;
const blocks = 60;

function longRun() {
  const meter = otherMeter(finer * sampleRate);
  const scale = 1 / meter(sine(1000), 2);
  const normal = gaussian(generator(468));
  let sum = 0;
  let seconds = 0;
  for (let block = 0; block < blocks; block++) {
    const spectrum = new Float64Array(size + 2);
    const plan = createFftPlan(size);
    plan.forwardReal(Float64Array.from({ length: size }, normal), spectrum);
    const heard = weighted(spectrum);
    const perSecond = finer * sampleRate;
    for (let at = 0; at + perSecond <= heard.length; at += perSecond) {
      const highest = meter(heard.subarray(at, at + perSecond), 0);
      // the first ones settle the meter
      if (block === 0) continue;
      sum += highest;
      seconds++;
    }
  }
  return 20 * Math.log10((scale * sum) / seconds);
}

/** A sine whose r.m.s. value is 1, at the finer rate. */
function sine(hz) {
  const step = (2 * Math.PI * hz) / (finer * sampleRate);
  return Float64Array.from(
    { length: 4 * finer * sampleRate },
    (_, n) => Math.SQRT2 * Math.sin(step * n),
  );
}

/** The signal of a spectrum through the network, at the finer rate. */
function weighted(spectrum) {
  const wide = new Float64Array(finer * size + 2);
  for (let k = 0; k < size / 2; k++) {
    const { re, im } = compute468Weighting((k * sampleRate) / size);
    wide[2 * k] = finer * (spectrum[2 * k] * re - spectrum[2 * k + 1] * im);
    wide[2 * k + 1] = finer * (spectrum[2 * k] * im + spectrum[2 * k + 1] * re);
  }
  const samples = new Float64Array(finer * size);
  createFftPlan(finer * size).inverseReal(wide, samples);
  return samples;
}

/**
 * Two capacitors: the first charged through a rectifier, the second from the first, which it draws on.
 *
 * @returns a function from samples to the highest that the second then has; `from` seconds are left out
 */
export function otherMeter(rateHz) {
  const step = (seconds) => -Math.expm1(-1 / (seconds * rateHz));
  const [charge, leak, pass, drop, draws] = [
    step(0.00142),
    step(0.31685),
    step(0.24678),
    step(0.30375),
    0.1588,
  ];
  let first = 0;
  let second = 0;
  return (samples, from = 0) => {
    let highest = 0;
    for (let n = 0; n < samples.length; n++) {
      first -= leak * first;
      first += charge * Math.max(0, Math.abs(samples[n]) - first);
      second -= drop * second;
      const passed = pass * Math.max(0, first - second);
      second += passed;
      first -= draws * passed;
      if (n >= from * rateHz && second > highest) highest = second;
    }
    return highest;
  };
}
