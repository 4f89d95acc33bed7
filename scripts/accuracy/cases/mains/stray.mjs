// A steady tone anywhere in noise of any colour, beside sets of mains lines; every fourth has none.
import { readingOutcomes } from "../../outcomes.mjs";
import { between, logBetween } from "../../random.mjs";
import { drawSilence, lineOver, measureSilence } from "./silence.mjs";

export function run(next) {
  const made = drawSilence(next);
  const lines = [];
  const share = next() < 0.5 ? 0 : between(next, 0.05, 0.5);
  const overDb = between(next, 0, 40);
  for (let order = 1; order <= 40; order++) {
    if (next() > share) continue;
    lines.push({ order, amplitude: lineOver(made, order, overDb + between(next, -10, 10)) });
  }
  const hasTone = next() < 0.75;
  const hz = logBetween(next, 45, 0.48 * made.sampleRate);
  const order = hz / made.mainsHz;
  const amplitude = lineOver(made, order, between(next, 5, 60));
  if (hasTone) lines.push({ order, amplitude });
  const { strayTone, strayToneHz, mains } = measureSilence(made, lines, next).readings;
  if (hasTone && !isApart(hz, made)) return [];
  // A line alone is as good as a tone.
  if (mains === undefined && share > 0) return [];
  const truths = {
    strayTone: hasTone ? 20 * Math.log10(amplitude) : Number.NEGATIVE_INFINITY,
    ...(hasTone && strayTone.bound === undefined ? { strayToneHz: hz } : {}),
  };
  return readingOutcomes({ strayTone, strayToneHz }, truths);
}

/** Near a multiple of what the mains may be, nothing tells whose a tone is. */
function isApart(hz, { nominalHz, mainsHz }) {
  const order = Math.round(hz / nominalHz);
  if (order <= 40 && Math.abs(hz - order * nominalHz) <= 0.5 * order + 2) return false;
  return Math.abs(hz - Math.round(hz / mainsHz) * mainsHz) > 2;
}
