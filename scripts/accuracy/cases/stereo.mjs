// Both sides of a bus, each through filters of its own and with a delay between them.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { magnitude, phase, playedSignal, tableOf, throughFilters } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "sweep", "tone-1k"]);

export function run(next) {
  const played = playedSignal(table, sampleRate, next);
  const [left, right] = [side(next), side(next)];
  const heard = [left, right].map(({ filters, turned, rmsDbfs }) => {
    const samples = throughFilters(Float64Array.from(played.samples), filters, played.clock);
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

function side(next) {
  return {
    filters: {
      gainDb: between(next, -12, 3),
      lowHz: logBetween(next, 1, 60),
      highHz: logBetween(next, 9000, 2e5),
    },
    turned: sign(next),
    rmsDbfs: between(next, -110, -75),
  };
}

const difference = (left, right, hz) => phase(left.filters, hz) - phase(right.filters, hz);

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
