// Noise whose power goes to and fro between two levels, white or reddened: the kurtosis of such a mixture
// has a closed form, 3·(p + (1 − p)·r⁴)/(p + (1 − p)·r²)² for a ratio of the levels r, whatever filters
// it went through, as long as it stays at one level for much longer than they last.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const rates = [44_100, 48_000, 96_000, 192_000];
const tables = { base: tableOf(["silence"]), wide: tableOf(["silence"], "wide") };

export function run(next) {
  const sampleRate = rates[Math.floor(rates.length * next())];
  const table = tables[sampleRate > 48_000 ? "wide" : "base"];
  const noise = {
    rmsDbfs: between(next, -110, -60),
    share: next() < 0.5 ? 0 : between(next, 1, 30),
  };
  const ratio = next() < 0.4 ? 1 : logBetween(next, 1.05, 8);
  const part = between(next, 0.2, 0.8);
  const everyS = between(next, 0.04, 0.09);
  const played = playedSignal(table, sampleRate, next);
  const { samples } = played;
  const source = noiseSource(noise, sampleRate, next);
  for (let i = 0; i < samples.length; i++) {
    const at = (i / sampleRate / everyS) % 1;
    samples[i] = source() * (at < part ? 1 : ratio);
  }
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, ["burstiness"]);
  const fourth = part + (1 - part) * ratio ** 4;
  const second = part + (1 - part) * ratio ** 2;
  return readingOutcomes(
    { burstiness: readings.burstiness },
    { burstiness: 10 * Math.log10(fourth / second ** 2) },
  );
}
