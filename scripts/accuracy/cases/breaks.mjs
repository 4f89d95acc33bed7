// A number of breaks of the level, each of 0.5 to 3 dB and 30 to 80 ms, at random places of tones and steps.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k", "tone-100", "twin", "steps-1k"]);
/** Of each: what settles is left out, and the steps at which noise may hide a break. */
const loudFromDb = -20;
const parts = table.segments.flatMap((segment) => {
  const { kind, startS, lengthS } = segment;
  if (kind === "tone" || kind === "twin") return [{ startS, lengthS }];
  if (kind !== "steps") return [];
  return segment.levelsDbfs.flatMap((levelDbfs, k) =>
    levelDbfs - table.nominalDbfs < loudFromDb
      ? []
      : [{ startS: startS + k * segment.stepS, lengthS: segment.stepS }],
  );
});
const settleS = 0.08;
const endS = 0.04;

export function run(next) {
  const gain = 10 ** (between(next, -10, 0) / 20);
  const played = playedSignal(table, sampleRate, next);
  const { samples, origin, clock } = played;
  const noise = noiseSource({ rmsDbfs: between(next, -110, -75), share: 0 }, sampleRate, next);
  const broken = parts.filter(() => next() < 0.3);
  for (const { startS, lengthS } of broken) {
    const longest = lengthS - settleS - endS;
    const own = Math.min(between(next, 0.03, 0.08), longest);
    const fromS = startS + settleS + next() * (longest - own);
    const share = 10 ** (-between(next, 0.5, 3) / 20);
    const first = Math.round(origin + fromS * clock);
    for (let n = first; n < first + Math.round(own * clock); n++) samples[n] *= share;
  }
  for (let i = 0; i < samples.length; i++) samples[i] = gain * samples[i] + noise();
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, ["breaks"]);
  return readingOutcomes({ breaks: readings.breaks }, { breaks: broken.length });
}
