// A channel that is not driven hears the driven one through a stray capacitance.
import { computeCrosstalkCurve } from "../../../dist/measure/crosstalk.js";
import { createReturnContext } from "../../../dist/measure/return-context.js";
import { noiseSource } from "../noise.mjs";
import { curveOutcomes } from "../outcomes.mjs";
import { between, logBetween } from "../random.mjs";
import { magnitude, playedSignal, tableOf, throughFilters } from "../render.mjs";

const segments = ["silence", "sweep"];
const tables = { base: tableOf(segments), wide: tableOf(segments, "wide") };
const rates = [44_100, 88_200, 96_000, 192_000];

export const run = (next) => countedAt(48_000, "crosstalk curve", next);

/** The same at other rates. */
export const otherRates = {
  run: (next) => countedAt(rates[Math.floor(rates.length * next())], "crosstalk rates curve", next),
};

function countedAt(sampleRate, id, next) {
  const table = tables[sampleRate > 48_000 ? "wide" : "base"];
  const played = playedSignal(table, sampleRate, next);
  const driven = {
    gainDb: between(next, -6, 3),
    lowHz: logBetween(next, 1, 30),
    highHz: logBetween(next, 15_000, 2e5),
  };
  const stray = {
    gainDb: between(next, -90, -20),
    lowHz: logBetween(next, 1, 20_000),
    highHz: logBetween(next, 15_000, 2e5),
  };
  const heard = [driven, stray].map((filters) => {
    const samples = throughFilters(Float64Array.from(played.samples), filters, played.clock);
    const noise = noiseSource({ rmsDbfs: between(next, -115, -85), share: 0 }, sampleRate, next);
    for (let i = 0; i < samples.length; i++) samples[i] += noise();
    return samples;
  });
  const audio = { ...played, samples: heard[0], sampleRate, table, mainsHz: 50 };
  const other = { channel: 1, samples: heard[1] };
  const curve = computeCrosstalkCurve(createReturnContext(audio), other);
  if (typeof curve === "string") return [];
  return curveOutcomes(
    id,
    curve,
    (hz) => 20 * Math.log10(magnitude(stray, hz) / magnitude(driven, hz)),
  );
}
