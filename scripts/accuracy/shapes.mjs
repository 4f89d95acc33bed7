// Responses of any shape: closed forms of filters, their rows and what a converter adds, put onto
// samples in the frequency domain.
import { createFftPlan } from "../../dist/dsp/fft.js";
import { between, logBetween, sign } from "./random.mjs";

/** A response is a function from hertz to [real, imaginary]. */
export const row =
  (...parts) =>
  (hz) => {
    let re = 1;
    let im = 0;
    for (const part of parts) {
      const [a, b] = part(hz);
      [re, im] = [re * a - im * b, re * b + im * a];
    }
    return [re, im];
  };

const ratio = ([a, b], [c, d]) => {
  const scale = 1 / (c * c + d * d);
  return [(a * c + b * d) * scale, (b * c - a * d) * scale];
};

/** jx/(1 + jx) and 1/(1 + jx). */
export const highPass = (cornerHz) => (hz) => ratio([0, hz / cornerHz], [1, hz / cornerHz]);
export const lowPass = (cornerHz) => (hz) => ratio([1, 0], [1, hz / cornerHz]);
/** Second order of quality q. */
export const highPass2 = (cornerHz, q) => (hz) => {
  const x = hz / cornerHz;
  return ratio([-x * x, 0], [1 - x * x, x / q]);
};
export const lowPass2 = (cornerHz, q) => (hz) => {
  const x = hz / cornerHz;
  return ratio([1, 0], [1 - x * x, x / q]);
};

/** Butterworth low-pass of an order, as a row of its sections. */
export function butterworth(cornerHz, order) {
  const parts = order % 2 === 1 ? [lowPass(cornerHz)] : [];
  for (let k = 0; k < Math.floor(order / 2); k++) {
    const angle = (Math.PI * (2 * k + 1 + (order % 2))) / (2 * order);
    parts.push(lowPass2(cornerHz, 1 / (2 * (order % 2 === 1 ? Math.cos(angle) : Math.sin(angle)))));
  }
  return row(...parts);
}

/** A digital filter of linear phase: flat to one frequency, nothing from the other on. */
export const brickWall = (fromHz, toHz) => (hz) => {
  const beyond = Math.min(1, Math.max(0, (hz - fromHz) / (toHz - fromHz)));
  return [0.5 + 0.5 * Math.cos(Math.PI * beyond), 0];
};

/** First-order shelves: `db` of gain above or below a frequency. */
export const highShelf = (hz0, db) => (hz) =>
  ratio([1, (hz / hz0) * 10 ** (db / 20)], [1, hz / hz0]);
export const lowShelf = (hz0, db) => (hz) => ratio([10 ** (db / 20), hz / hz0], [1, hz / hz0]);
export const peak = (hz0, db, q) => (hz) => {
  const x = hz / hz0;
  return ratio([1 - x * x, (x / q) * 10 ** (db / 20)], [1 - x * x, x / q]);
};
/** Turns the phase about a frequency and leaves the level. */
export const allPass = (hz0) => (hz) => ratio([1, -hz / hz0], [1, hz / hz0]);

/** What a converter's response does besides: a tilt, and ripples evenly spaced in frequency. */
export const tilt = (dbPerDecade) => (hz) => [
  10 ** ((dbPerDecade * Math.log10(Math.max(hz, 1) / 1000)) / 20),
  0,
];
export const ripple = (db, everyHz, turn) => (hz) => [
  10 ** ((db * Math.cos((2 * Math.PI * hz) / everyHz + turn)) / 20),
  0,
];

/** A random interface: capacitors, its converter's edge, a slope and ripples. */
export function drawInterface(next) {
  return row(
    highPass(logBetween(next, 0.5, 6)),
    lowPass(logBetween(next, 35_000, 200_000)),
    tilt(between(next, -0.05, 0.05)),
    ripple(logBetween(next, 1e-3, 5e-2), between(next, 1500, 6000), 2 * Math.PI * next()),
  );
}

export const levelDb = (response, hz) => 20 * Math.log10(Math.hypot(...response(hz)));

/**
 * Where a response first lies half the power below its own 1 kHz, walking away from there.
 *
 * @param direction −1 downwards, 1 upwards
 * @returns undefined where it never does, from 0.05 Hz to 2 MHz
 */
export function cornerOf(response, direction) {
  const wanted = levelDb(response, 1000) - 10 * Math.log10(2);
  const step = 2 ** (direction / 96);
  let near = 1000;
  for (let hz = 1000 * step; hz > 0.05 && hz < 2e6; hz *= step) {
    if (levelDb(response, hz) > wanted) {
      near = hz;
      continue;
    }
    let far = hz;
    for (let pass = 0; pass < 50; pass++) {
      const middle = Math.sqrt(near * far);
      if (levelDb(response, middle) > wanted) near = middle;
      else far = middle;
    }
    return near;
  }
  return undefined;
}

/** Where a response of 0 dB in its band has fallen to one part in so many of the power. */
export function fallenTo(response, direction, ratio) {
  let near = 1000;
  let far = direction < 0 ? 1e-3 : 1e8;
  for (let pass = 0; pass < 80; pass++) {
    const middle = Math.sqrt(near * far);
    if (levelDb(response, middle) > -10 * Math.log10(ratio)) near = middle;
    else far = middle;
  }
  return near;
}

/** Puts samples through a response, with room for its slowest part to die away. */
export function throughResponse(samples, response, clock) {
  let size = 4;
  while (size < samples.length + clock) size *= 2;
  const plan = createFftPlan(size);
  const room = new Float64Array(size);
  const spectrum = new Float64Array(size + 2);
  room.set(samples);
  plan.forwardReal(room, spectrum);
  for (let k = 0; k <= size / 2; k++) {
    const [a, b] = response((k * clock) / size);
    const re = spectrum[2 * k];
    const im = spectrum[2 * k + 1];
    spectrum[2 * k] = re * a - im * b;
    spectrum[2 * k + 1] = k === size / 2 ? 0 : re * b + im * a;
  }
  plan.inverseReal(spectrum, room);
  samples.set(room.subarray(0, samples.length));
  return samples;
}

/** What the standard sweep shows at most: a filter that begins beyond it is not to be seen. */
const seenHz = 20_000;
const isSeen = (response) => levelDb(response, seenHz) < -0.5;

/** A random response of another shape than a low-order roll-off. */
export function drawShape(next) {
  const dice = next();
  const base = row(highPass(logBetween(next, 0.8, 30)), lowPass(logBetween(next, 40_000, 300_000)));
  const made = (name, part) => ({ name, response: row(base, part) });
  if (dice < 0.35) {
    let wall;
    do {
      const from = between(next, 15_000, 20_000);
      wall = brickWall(from, from * between(next, 1.05, 1.3));
    } while (!isSeen(wall));
    return made("brick wall", wall);
  }
  if (dice < 0.55) {
    let steep;
    do steep = butterworth(logBetween(next, 12_000, 30_000), 4 + Math.floor(9 * next()));
    while (!isSeen(steep));
    return made("steep", steep);
  }
  const db = sign(next) * between(next, 0.5, 8);
  if (dice < 0.7) return made("high shelf", highShelf(logBetween(next, 3000, 20_000), db));
  if (dice < 0.85) return made("low shelf", lowShelf(logBetween(next, 10, 200), db));
  const hz = next() < 0.5 ? logBetween(next, 15, 200) : logBetween(next, 5000, 25_000);
  return made("peak", peak(hz, 0.75 * db, between(next, 0.5, 4)));
}
