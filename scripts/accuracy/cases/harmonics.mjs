// A tone through a crooked curve made of Chebyshev polynomials, which turn a cosine into its
// harmonics: Tₙ(cos θ) = cos nθ (M. Abramowitz, I. Stegun, 22.3.15).
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, sign } from "../random.mjs";
import { nominal, playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k"]);
const orders = [2, 3, 4, 5, 6, 7, 8, 9, 10];

export function run(next) {
  const lines = orders.map(() => sign(next) * 10 ** (between(next, -120, -50) / 20));
  const played = playedSignal(table, sampleRate, next);
  const gain = 10 ** (between(next, -10, 3) / 20);
  const noise = noiseSource({ rmsDbfs: between(next, -120, -75), share: 0 }, sampleRate, next);
  const { samples } = played;
  for (let i = 0; i < samples.length; i++) {
    samples[i] = gain * crooked(samples[i], lines) + noise();
  }
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, [
    "thd",
    ...orders.map((n) => `harmonic${n}`),
  ]);
  return readingOutcomes(readings, truthsOf(lines));
}

/** x + Σ dₙ·a·Tₙ(x/a), a being the tone's amplitude. */
export function crooked(x, lines) {
  const u = x / nominal;
  let before = 1;
  let now = u;
  let sum = u;
  for (const line of lines) {
    const after = 2 * u * now - before;
    before = now;
    now = after;
    sum += line * now;
  }
  return nominal * sum;
}

function truthsOf(lines) {
  const db = (ratio) => 20 * Math.log10(Math.abs(ratio));
  return {
    thd: db(Math.hypot(...lines)),
    ...Object.fromEntries(orders.map((n, k) => [`harmonic${n}`, db(lines[k])])),
  };
}
