// Tones whose level wavers as a sine of some hertz, or jumps as at a contact.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k", "tone-100"]);
const [tone, low] = ["tone-1k", "tone-100"].map((name) =>
  table.segments.find((segment) => segment.name === name),
);
/** As docs/methods.md defines them: pieces, from 80 ms on to 15 ms before the end. */
const fromS = 0.08;
const endS = 0.015;

export function run(next) {
  const gain = 10 ** (between(next, -10, 3) / 20);
  const depth = logBetween(next, 1e-4, 0.05);
  const envelope = next() < 0.5 ? wave(depth, next) : contact(depth, next);
  const played = playedSignal(table, sampleRate, next);
  const { samples, origin, clock } = played;
  const noise = noiseSource({ rmsDbfs: between(next, -110, -70), share: 0 }, sampleRate, next);
  for (let i = 0; i < samples.length; i++) {
    const atS = (i - origin) / clock - tone.startS;
    samples[i] = gain * envelope.at(atS) * samples[i] + noise();
  }
  const audio = { ...played, sampleRate, table, mainsHz: 50 };
  const { readings } = measureSome(audio, ["instability", "instability100"]);
  const later = low.startS - tone.startS;
  return readingOutcomes(readings, {
    instability: truth(envelope, 0, tone, 0.02),
    instability100: truth(envelope, later, low, 0.05),
  });
}

/** A sine of some hertz; `integral` of it from 0 s on. */
function wave(depth, next) {
  const omega = 2 * Math.PI * logBetween(next, 1, 15);
  const turn = 2 * Math.PI * next();
  return {
    at: (s) => 1 + depth * Math.sin(omega * s + turn),
    integral: (s) => s + (depth * (Math.cos(turn) - Math.cos(omega * s + turn))) / omega,
  };
}

/** A contact that opens in part and closes again, at random moments of both tones. */
function contact(depth, next) {
  const shutS = logBetween(next, 0.05, 0.5);
  const openS = logBetween(next, 0.01, 0.2);
  const endS = low.startS - tone.startS + low.lengthS;
  const edges = [];
  let atS = 0;
  while (atS < endS) {
    const fromS = atS - shutS * Math.log(1 - next());
    atS = fromS - openS * Math.log(1 - next());
    edges.push({ fromS, toS: atS });
  }
  const openUntil = (s) =>
    edges.reduce((sum, { fromS, toS }) => sum + Math.max(0, Math.min(s, toS) - fromS), 0);
  return {
    at: (s) => (edges.some(({ fromS, toS }) => s >= fromS && s < toS) ? 1 - depth : 1),
    integral: (s) => s - depth * openUntil(s),
  };
}

/** Mean of the envelope over each piece, closed form, in decibels; their r.m.s. about the mean. */
function truth({ integral }, laterS, { lengthS }, pieceS) {
  const pieces = Math.floor((lengthS - endS - fromS) / pieceS + 1e-9);
  const decibels = Array.from({ length: pieces }, (_, k) => {
    const a = laterS + fromS + k * pieceS;
    return 20 * Math.log10((integral(a + pieceS) - integral(a)) / pieceS);
  });
  const middle = decibels.reduce((sum, db) => sum + db, 0) / pieces;
  return Math.sqrt(decibels.reduce((sum, db) => sum + (db - middle) ** 2, 0) / (pieces - 1));
}
