// A number of clicks that stand well out of the noise, at random places of silence and tone.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k"]);
/** What is listened to: seconds left out at the beginning and end of each. */
const parts = table.segments.filter(({ kind }) => kind !== "marker");
const heard = parts.map(({ name, startS, lengthS }) =>
  name === "silence"
    ? { fromS: startS + 0.1, toS: startS + lengthS }
    : { fromS: startS + 0.08, toS: startS + lengthS - 0.015 },
);
const seconds = heard.reduce((sum, { fromS, toS }) => sum + toS - fromS, 0);
/** Far enough from the next that two are not one, and from the edges. */
const apartS = 0.015;

export function run(next) {
  const gain = 10 ** (between(next, -10, 3) / 20);
  const rmsDbfs = between(next, -110, -75);
  const sigma = Math.SQRT1_2 * 10 ** (rmsDbfs / 20);
  const played = playedSignal(table, sampleRate, next);
  const { samples, origin, clock } = played;
  const noise = noiseSource({ rmsDbfs, share: 0 }, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] = gain * samples[i] + noise();
  const count = Math.floor(next() * 11);
  for (const atS of places(count, next)) {
    const first = Math.round(origin + atS * clock);
    const decay = logBetween(next, 1, 8);
    const peak = sign(next) * sigma * logBetween(next, 15, 1000);
    for (let k = 0; k < 60; k++) samples[first + k] += peak * (-1) ** k * Math.exp(-k / decay);
  }
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, ["clicks"]);
  return readingOutcomes({ clicks: readings.clicks }, { clicks: count / seconds });
}

function places(count, next) {
  const found = [];
  while (found.length < count) {
    const { fromS, toS } = heard[next() < 2 / 3 ? 0 : 1];
    const atS = between(next, fromS + apartS, toS - apartS);
    if (found.every((other) => Math.abs(other - atS) > apartS)) found.push(atS);
  }
  return found;
}
