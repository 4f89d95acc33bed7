// A path that clips, each half-wave at a level of its own, behind one pair of filters and before
// another; the truth by numerical integration over a period.
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { magnitude, nominal, playedSignal, tableOf, throughFilters } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "sweep", "tone-1k", "steps-1k"]);
const levels = table.segments
  .find(({ name }) => name === "steps-1k")
  .levelsDbfs.map((level) => level - table.nominalDbfs);

export function run(next) {
  const made = {
    before: { gainDb: 0, lowHz: logBetween(next, 1, 60), highHz: logBetween(next, 15_000, 2e5) },
    behind: {
      gainDb: between(next, -8, 0),
      lowHz: logBetween(next, 1, 20),
      highHz: logBetween(next, 15_000, 2e5),
    },
    limit: nominal * 10 ** (between(next, 3, 16) / 20),
    // how much higher the other half-wave may reach
    other: next() < 0.3 ? 1 : 10 ** (between(next, 0, 4) / 20),
    side: sign(next),
    sharp: logBetween(next, 4, 60),
    polarity: sign(next),
    noise: { rmsDbfs: between(next, -110, -75), share: 0 },
  };
  const played = playedSignal(table, sampleRate, next);
  const { samples, clock } = played;
  throughFilters(samples, made.before, clock);
  for (let i = 0; i < samples.length; i++) samples[i] = made.polarity * bend(made, samples[i]);
  throughFilters(samples, made.behind, clock);
  const noise = noiseSource(made.noise, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] += noise();
  const { readings } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, [
    "headroom",
    "clipSide",
    "thdHot",
    "compression",
  ]);
  const { headroom, clipSide, thdHot, compression } = readings;
  return readingOutcomes({ headroom, clipSide, thdHot, compression }, truthsOf(made));
}

/** A limiter that bends the sooner the blunter it is: x/(1 + |x/L|ⁿ)^(1/n). */
function bend({ limit, other, side, sharp }, x) {
  const most = side * x > 0 ? limit : limit * other;
  return x / (1 + Math.abs(x / most) ** sharp) ** (1 / sharp);
}

/** Harmonics 1 … 10 at the output and the crests behind the bend, for a step of the ladder. */
function answer(made, aboveDb) {
  const a = nominal * 10 ** (aboveDb / 20) * magnitude(made.before, 1000);
  const points = 2048;
  const cosines = new Float64Array(11);
  for (let i = 0; i < points; i++) {
    const theta = (2 * Math.PI * (i + 0.5)) / points;
    const y = bend(made, a * Math.cos(theta));
    for (let n = 0; n <= 10; n++) cosines[n] += (y * Math.cos(n * theta)) / points;
  }
  const lines = cosines.map((c, n) => (n === 0 ? c : 2 * c * magnitude(made.behind, n * 1000)));
  let power = 0;
  for (let n = 2; n <= 10; n++) power += lines[n] ** 2;
  return {
    thd: 10 * Math.log10(power / lines[1] ** 2),
    level: 20 * Math.log10(Math.abs(lines[1])),
    side: 20 * Math.log10((lines[0] - bend(made, -a)) / (bend(made, a) - lines[0])),
  };
}

function truthsOf(made) {
  const first = levels.find((level) => level >= 0 && answer(made, level).thd >= -40);
  let low = -6;
  let high = first ?? 17;
  for (let pass = 0; pass < 40; pass++) {
    const middle = (low + high) / 2;
    if (answer(made, middle).thd >= -40) high = middle;
    else low = middle;
  }
  return {
    headroom: first === undefined ? undefined : high,
    clipSide: first === undefined ? undefined : answer(made, first).side,
    thdHot: answer(made, 12).thd,
    compression: answer(made, 12).level - answer(made, 0).level - 12,
  };
}
