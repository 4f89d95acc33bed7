// Plain noise through the BS.468 meter. What it reads in the long run has no closed form: it is
// read over minutes of noise, so what is tested is the doubt of a short silence. That the meter
// reads what the standard says is tested on its bursts.
import { createFrequencyFilter } from "../../../dist/dsp/frequency-filter.js";
import { createQuasiPeakMeter } from "../../../dist/dsp/quasi-peak.js";
import { compute468Weighting } from "../../../dist/dsp/weighting.js";
import { measureReturn } from "../../../dist/measure/measure.js";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, gaussian, generator } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence"]);
const blocks = 30;
const blockS = 8;

export function run(next) {
  const noise = { rmsDbfs: between(next, -110, -60), share: 0 };
  const played = playedSignal(table, sampleRate, next);
  const { samples } = played;
  const source = noiseSource(noise, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] = source();
  const { readings } = measureReturn({ ...played, sampleRate, table, mainsHz: 50 });
  return readingOutcomes(
    { noise468: readings.noise468 },
    { noise468: noise.rmsDbfs + longRunDb() },
  );
}

let kept;

/** What the meter reads of white noise over four minutes, against its r.m.s. level, decibels. */
function longRunDb() {
  kept ??= longRun();
  return kept;
}

function longRun() {
  const filter = createFrequencyFilter(compute468Weighting, sampleRate, 2);
  const meter = createQuasiPeakMeter(2 * sampleRate);
  const normal = gaussian(generator(468));
  const margin = 2 * filter.margin;
  let sum = 0;
  for (let block = 0; block < blocks; block++) {
    const samples = Float64Array.from({ length: blockS * sampleRate }, normal);
    const weighted = filter.apply(samples);
    const { mean } = meter.read(weighted, margin, weighted.length - margin);
    // the first one settles the meter
    if (block > 0) sum += mean;
  }
  return 20 * Math.log10(sum / (blocks - 1));
}
