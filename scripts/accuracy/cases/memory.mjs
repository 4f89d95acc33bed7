// Paths that remember: a coupling capacitor that a rectifying input charges, fast limiters, slewing,
// a supply that sags. Their answer to a steady sine is worked out step by step at four times the
// rate, until it repeats; headroom is where its harmonics 2 to 10 first reach 1 %.
import { createFftPlan } from "../../../dist/dsp/fft.js";
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { nominal, playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const over = 4;
const table = tableOf(["silence", "sweep", "tone-1k", "steps-1k"]);
const levels = table.segments
  .find(({ name }) => name === "steps-1k")
  .levelsDbfs.map((level) => level - table.nominalDbfs);

/** Each makes a path from its figures: a function from a sample and the time step to a sample. */
const models = {
  /** What a rectifying input draws charges the capacitor before it; a resistor discharges it. */
  "bias-shift": ({ limit, chargeS, dischargeS }) => {
    let shift = 0;
    return (x, step) => {
      const v = x - shift;
      const drawn = Math.max(0, v - limit);
      shift += step * (drawn / chargeS - shift / dischargeS);
      return Math.max(-2.5 * limit, v - drawn);
    };
  },
  /** Attack at once, release exponential; above the limit `ratio` dB in for one out. */
  limiter: ({ limit, releaseS, ratio }) => {
    let held = 0;
    return (x, step) => {
      held = Math.max(Math.abs(x), held * (1 - step / releaseS));
      return held > limit ? x * (held / limit) ** (1 / ratio - 1) : x;
    };
  },
  /** A stage that follows no faster than its slew rate. */
  slewing: ({ limit, bandHz }) => {
    const rate = 2 * Math.PI * 1000 * limit;
    let y = 0;
    return (x, step) => {
      const most = step * rate;
      const wanted = (x - y) * -Math.expm1(-2 * Math.PI * bandHz * step);
      y += wanted / (1 + Math.abs(wanted / most) ** 8) ** (1 / 8);
      return y;
    };
  },
  /** Rails that give way to the current drawn, and come back. */
  sagging: ({ limit, sag, dischargeS }) => {
    let drawn = 0;
    return (x, step) => {
      const rail = limit * (1 - sag * Math.min(0.8, drawn / limit));
      drawn += (step * (Math.abs(x) - drawn)) / dischargeS;
      return x / (1 + Math.abs(x / rail) ** 12) ** (1 / 12);
    };
  },
};
const names = Object.keys(models);

function draw(next) {
  const name = names[Math.floor(next() * names.length)];
  const figures = {
    limit: nominal * 10 ** (between(next, 1, name === "slewing" ? 13 : 15) / 20),
    chargeS: logBetween(next, 1e-4, 5e-3),
    dischargeS: logBetween(next, 3e-3, 3e-2),
    releaseS: logBetween(next, 2e-4, 1e-2),
    ratio: logBetween(next, 2, 50),
    bandHz: logBetween(next, 4e4, 2e5),
    sag: between(next, 0.1, 0.5),
  };
  return { name, figures, gain: sign(next) * 10 ** (between(next, -8, 0) / 20) };
}

export function run(next) {
  const made = draw(next);
  const { readings, absent } = measure(made, between(next, -110, -80), next);
  const truth = headroomOf(made);
  // A truth below nominal or above the last step is for no interval.
  if (truth === undefined) return [];
  const outcomes = readingOutcomes({ headroom: readings.headroom }, { headroom: truth });
  // Absent although 1 % lies well within the steps.
  const missing = !readings.headroom && /already there|highest level/.test(absent.headroom ?? "");
  const isFalse = missing && truth > 0.05 && truth < levels[levels.length - 1] - 0.05;
  return [
    ...outcomes.map((one) => ({ ...one, id: "headroom with memory" })),
    { id: "headroom absent", bound: true, held: !isFalse },
  ];
}

/** Puts the signal through a path at the higher rate, and measures it. */
export function measure(made, noiseDbfs, next) {
  const played = playedSignal(table, over * sampleRate, next);
  const path = models[made.name](made.figures);
  const step = 1 / played.clock;
  const fast = played.samples;
  for (let i = 0; i < fast.length; i++) fast[i] = made.gain * path(fast[i], step);
  const samples = decimated(fast);
  const noise = noiseSource({ rmsDbfs: noiseDbfs, share: 0 }, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] += noise();
  const origin = played.origin / over;
  const clock = played.clock / over;
  return measureSome({ samples, origin, clock, sampleRate, table, mainsHz: 50 }, ["headroom"]);
}

/** Every fourth sample, with nothing above the lower rate's own band. */
function decimated(fast) {
  let size = 4;
  while (size < fast.length) size *= 2;
  const plan = createFftPlan(size);
  const room = new Float64Array(size);
  const spectrum = new Float64Array(size + 2);
  room.set(fast);
  plan.forwardReal(room, spectrum);
  const pass = 0.46;
  for (let k = 0; k <= size / 2; k++) {
    const share = (over * k) / size;
    const beyond = Math.min(1, Math.max(0, (share - pass) / (0.5 - pass)));
    const weight = 0.5 + 0.5 * Math.cos(Math.PI * beyond);
    spectrum[2 * k] *= weight;
    spectrum[2 * k + 1] *= weight;
  }
  plan.inverseReal(spectrum, room);
  return Float64Array.from({ length: Math.floor(fast.length / over) }, (_, n) => room[over * n]);
}

const rate = over * sampleRate;
const period = rate / 1000;
/** One period of the sine that the truth is worked out for. */
const sines = Float64Array.from({ length: period }, (_, n) => Math.sin((2 * Math.PI * n) / period));

/** Power of harmonics 2 to 10 over the fundamental's, of a steady sine above nominal. */
function distortionOf({ name, figures }, aboveDb) {
  const path = models[name](figures);
  const a = nominal * 10 ** (aboveDb / 20);
  const settled = Math.round(0.13 * 1000) * period;
  const heard = 20 * period;
  const re = new Float64Array(11);
  const im = new Float64Array(11);
  for (let n = 0; n < settled + heard; n++) {
    const y = path(a * sines[n % period], 1 / rate);
    if (n < settled) continue;
    for (let k = 1; k <= 10; k++) {
      re[k] += y * sines[(k * n + period / 4) % period];
      im[k] += y * sines[(k * n) % period];
    }
  }
  let power = 0;
  for (let k = 2; k <= 10; k++) power += re[k] ** 2 + im[k] ** 2;
  return power / (re[1] ** 2 + im[1] ** 2);
}

/** Lowest level from nominal up with 1 %, to 0.001 dB; undefined where none is in reach. */
export function headroomOf(made) {
  if (distortionOf(made, 0) >= 1e-4) return undefined;
  for (let level = 0.5; level <= levels[levels.length - 1]; level += 0.5) {
    if (distortionOf(made, level) < 1e-4) continue;
    let low = level - 0.5;
    let high = level;
    while (high - low > 1e-3) {
      const middle = (low + high) / 2;
      if (distortionOf(made, middle) >= 1e-4) high = middle;
      else low = middle;
    }
    return (low + high) / 2;
  }
  return undefined;
}
