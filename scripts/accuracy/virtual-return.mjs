// Random returns whose every reading is known in closed form: a first-order high-pass and low-pass
// (multiplied in the frequency domain, so exact), then a polynomial x + b·x² + c·x³, then white
// noise and mains lines. None of it is shared with src/simulate.
import FFT from "fft.js";
import { signalTable } from "../../dist/signal/profiles.js";
import { renderSegment } from "../../dist/signal/synthesise.js";

export const sampleRate = 48_000;

/** mulberry32: uniform numbers in [0, 1) from a seed. */
export function generator(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const between = (next, low, high) => low + (high - low) * next();
const logBetween = (next, low, high) => low * (high / low) ** next();

/** Draws what a return is made of. */
export function drawReturn(next) {
  return {
    gainDb: between(next, -12, 3),
    lowHz: logBetween(next, 1, 60),
    highHz: logBetween(next, 9000, 200_000),
    b: (next() < 0.5 ? -1 : 1) * logBetween(next, 1e-4, 1e-2),
    c: (next() < 0.5 ? -1 : 1) * logBetween(next, 1e-4, 1e-2),
    noiseDbfs: between(next, -110, -80),
    humDbfs: between(next, -120, -80),
    mainsHz: 50 + between(next, -0.1, 0.1),
    driftPpm: between(next, -200, 200),
    fraction: next(),
  };
}

/** |H| of the two filters at a frequency. */
export function magnitude({ gainDb, lowHz, highHz }, hz) {
  const low = 1 / Math.sqrt(1 + (lowHz / hz) ** 2);
  const high = 1 / Math.sqrt(1 + (hz / highHz) ** 2);
  return 10 ** (gainDb / 20) * low * high;
}

/** Renders a return as a capture hears it: samples, and where the signal starts. */
export function renderReturn(made, profile, next) {
  const table = signalTable(profile, "base");
  const clock = sampleRate * (1 + made.driftPpm * 1e-6);
  const origin = 2400 + made.fraction;
  const samples = new Float64Array(Math.ceil(origin + table.lengthS * clock + 2400));
  for (const segment of table.segments) {
    renderSegment(segment, -origin / clock - segment.startS, 1 / clock, samples);
  }
  filter(samples, made, clock);
  const { b, c } = made;
  const sigma = Math.SQRT1_2 * 10 ** (made.noiseDbfs / 20);
  const hum = 10 ** (made.humDbfs / 20);
  const turn = (2 * Math.PI * made.mainsHz) / sampleRate;
  const phase = 2 * Math.PI * next();
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i];
    const normal = Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
    samples[i] = x + b * x * x + c * x * x * x + sigma * normal + hum * Math.sin(turn * i + phase);
  }
  return { samples, origin, clock, sampleRate, table, mainsHz: 50 };
}

const plans = new Map();

function filter(samples, made, clock) {
  let size = 2;
  while (size < samples.length + clock) size *= 2;
  let plan = plans.get(size);
  if (!plan) {
    plan = { fft: new FFT(size), a: new Float64Array(2 * size), b: new Float64Array(2 * size) };
    plans.set(size, plan);
  }
  const { fft, a, b } = plan;
  a.fill(0);
  for (let n = 0; n < samples.length; n++) a[2 * n] = samples[n];
  fft.transform(b, a);
  const gain = 10 ** (made.gainDb / 20);
  for (let k = 0; k <= size / 2; k++) {
    const hz = (k * clock) / size;
    // jx/(1+jx) · 1/(1+jy)
    const x = hz / made.lowHz;
    const y = hz / made.highHz;
    const scale = gain / ((1 + x * x) * (1 + y * y));
    const hr = scale * (x * x + x * y);
    const hi = scale * (x - x * x * y);
    const re = b[2 * k] * hr - b[2 * k + 1] * hi;
    const im = b[2 * k] * hi + b[2 * k + 1] * hr;
    b[2 * k] = re;
    b[2 * k + 1] = im;
    if (k > 0 && k < size / 2) {
      b[2 * (size - k)] = re;
      b[2 * (size - k) + 1] = -im;
    }
  }
  fft.inverseTransform(a, b);
  for (let n = 0; n < samples.length; n++) samples[n] = a[2 * n];
}
