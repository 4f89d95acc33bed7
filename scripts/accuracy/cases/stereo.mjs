// Both sides of a bus, each through filters of its own, at 48 kHz and at other rates; at those one side is
// late besides, by up to a few samples.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { magnitude, phase, playedSignal, tableOf, throughFilters } from "../render.mjs";
import { highPass, lowPass, row, throughResponse } from "../shapes.mjs";

const segments = ["silence", "sweep", "tone-1k"];
const tables = { base: tableOf(segments), wide: tableOf(segments, "wide") };
const rates = [44_100, 88_200, 96_000, 192_000];

/** At 48 kHz, no side late. */
export const run = (next) => countedAt(48_000, 0, next);

/** At the other rates. */
export const otherRates = {
  run(next) {
    const sampleRate = rates[Math.floor(rates.length * next())];
    const lateS = sign(next) * logBetween(next, 1e-7, 5e-5);
    return countedAt(sampleRate, lateS, next).map((one) => ({
      ...one,
      id: `${one.id} rates`,
    }));
  },
};

/** @param lateS by which the left side comes later, seconds */
function countedAt(sampleRate, lateS, next) {
  const table = tables[sampleRate > 48_000 ? "wide" : "base"];
  const played = playedSignal(table, sampleRate, next);
  const [left, right] = [side(next, lateS), side(next, 0)];
  const heard = [left, right].map(({ filters, late, turned, rmsDbfs }) => {
    const samples = Float64Array.from(played.samples);
    if (late === 0) throughFilters(samples, filters, played.clock);
    else throughResponse(samples, lateResponse(filters, late), played.clock);
    const noise = noiseSource({ rmsDbfs, share: 0 }, sampleRate, next);
    for (let i = 0; i < samples.length; i++) samples[i] = turned * samples[i] + noise();
    return samples;
  });
  const partner = { samples: heard[1], side: "right" };
  const audio = { ...played, samples: heard[0], sampleRate, table, mainsHz: 50, partner };
  const { balance, stereoPhase, delay } = measureSome(audio, [
    "balance",
    "stereoPhase",
    "delay",
  ]).readings;
  const truths = truthsOf(left, right);
  if (stereoPhase) {
    // an angle: the turn that lies nearest
    truths.stereoPhase += 360 * Math.round((stereoPhase.value - truths.stereoPhase) / 360);
  }
  return readingOutcomes({ balance, stereoPhase, delay }, truths);
}

const lateResponse = ({ gainDb, lowHz, highHz }, late) =>
  row(highPass(lowHz), lowPass(highHz), (hz) => {
    const [gain, turn] = [10 ** (gainDb / 20), -2 * Math.PI * hz * late];
    return [gain * Math.cos(turn), gain * Math.sin(turn)];
  });

function side(next, late) {
  return {
    late,
    filters: {
      gainDb: between(next, -12, 3),
      lowHz: logBetween(next, 1, 60),
      highHz: logBetween(next, 9000, 2e5),
    },
    turned: sign(next),
    rmsDbfs: between(next, -110, -75),
  };
}

const phaseOf = ({ filters, late }, hz) => phase(filters, hz) - 2 * Math.PI * hz * late;
const difference = (left, right, hz) => phaseOf(left, hz) - phaseOf(right, hz);

function truthsOf(left, right) {
  const level = ({ filters }) => 20 * Math.log10(magnitude(filters, 1000));
  const half = left.turned === right.turned ? 0 : Math.PI;
  return {
    balance: level(left) - level(right),
    stereoPhase: (180 / Math.PI) * (difference(left, right, 1000) + half),
    delay: delayTruth((hz) => difference(left, right, hz)),
  };
}

/** Straight line through the phase at 60 points from 300 Hz to 3 kHz, microseconds. */
function delayTruth(phaseAt) {
  const points = Array.from({ length: 60 }, (_, k) => 300 + (2700 * k) / 59);
  const middle = 1650;
  let product = 0;
  let spread = 0;
  for (const hz of points) {
    product += (hz - middle) * phaseAt(hz);
    spread += (hz - middle) ** 2;
  }
  return (-1e6 * product) / spread / (2 * Math.PI);
}
