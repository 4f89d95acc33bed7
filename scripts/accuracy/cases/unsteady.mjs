// Tones whose level wavers as a sine of some hertz.
import { measureReturn } from "../../../dist/measure/measure.js";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k", "tone-100"]);
const [tone, low] = ["tone-1k", "tone-100"].map((name) =>
  table.segments.find((segment) => segment.name === name),
);
/** As docs/readings.md defines them: pieces, from 80 ms on to 15 ms before the end. */
const fromS = 0.08;
const endS = 0.015;

export function run(next) {
  const gain = 10 ** (between(next, -10, 3) / 20);
  const depth = logBetween(next, 1e-4, 0.05);
  const hz = logBetween(next, 1, 15);
  const turn = 2 * Math.PI * next();
  const played = playedSignal(table, sampleRate, next);
  const { samples, origin, clock } = played;
  const noise = noiseSource({ rmsDbfs: between(next, -110, -70), share: 0 }, sampleRate, next);
  for (let i = 0; i < samples.length; i++) {
    const atS = (i - origin) / clock - tone.startS;
    const level = gain * (1 + depth * Math.sin(2 * Math.PI * hz * atS + turn));
    samples[i] = level * samples[i] + noise();
  }
  const { readings } = measureReturn({ ...played, sampleRate, table, mainsHz: 50 });
  const { instability, instability100 } = readings;
  const later = 2 * Math.PI * hz * (low.startS - tone.startS);
  return readingOutcomes(
    { instability, instability100 },
    {
      instability: truth(depth, hz, turn, tone, 0.02),
      instability100: truth(depth, hz, turn + later, low, 0.05),
    },
  );
}

/** Mean of the envelope over each piece, closed form, in decibels; their r.m.s. about the mean. */
function truth(depth, hz, turn, { lengthS }, pieceS) {
  const omega = 2 * Math.PI * hz;
  const mean = (a, b) =>
    1 + (depth * (Math.cos(omega * a + turn) - Math.cos(omega * b + turn))) / (omega * (b - a));
  const pieces = Math.floor((lengthS - endS - fromS) / pieceS + 1e-9);
  const decibels = Array.from({ length: pieces }, (_, k) => {
    const a = fromS + k * pieceS;
    return 20 * Math.log10(mean(a, a + pieceS));
  });
  const middle = decibels.reduce((sum, db) => sum + db, 0) / pieces;
  return Math.sqrt(decibels.reduce((sum, db) => sum + (db - middle) ** 2, 0) / (pieces - 1));
}
