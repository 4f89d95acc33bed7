// The 1 kHz tone of a slightly bent path in noise of any colour, alone or with a mains line on it: what a
// fit takes along with the tone, and what the noise far below it does to level and offset.
import { measureReturn } from "../../../dist/measure/measure.js";
import { addLine } from "../add-line.mjs";
import { colouredNoise, colouredPower } from "../coloured.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { nominal, playedSignal, tableOf } from "../render.mjs";

const db = (ratio) => 20 * Math.log10(ratio);
const powerDb = (ratio) => 10 * Math.log10(ratio);
const names = ["silence", "tone-1k"];
const tables = {
  quick: tableOf(names, "base", "quick"),
  standard: tableOf(names),
};

function draw(next, cornerShare) {
  return {
    profile: next() < 0.4 ? "quick" : "standard",
    sampleRate: next() < 0.6 ? 48_000 : 44_100,
    gain: 10 ** (between(next, -12, 3) / 20),
    b: sign(next) * logBetween(next, 1e-5, 1e-2),
    c: sign(next) * logBetween(next, 1e-5, 1e-2),
    offset: between(next, -1e-3, 1e-3),
    mainsHz: 50 + between(next, -0.1, 0.1),
    noise: {
      rmsDbfs: between(next, -110, -70),
      cornerHz: next() < cornerShare ? logBetween(next, 10, 10_000) : 0,
    },
  };
}

/** @param lines rows { order, amplitude } */
function measure(made, lines, next) {
  const { sampleRate, gain, b, c, offset, mainsHz } = made;
  const table = tables[made.profile];
  const played = playedSignal(table, sampleRate, next);
  const { samples } = played;
  const noise = colouredNoise(made.noise, sampleRate, samples.length, next);
  for (let n = 0; n < samples.length; n++) {
    const x = gain * samples[n];
    samples[n] = x + b * x * x + c * x * x * x + offset + noise[n];
  }
  for (const { order, amplitude } of lines) {
    addLine(samples, amplitude, (order * mainsHz) / sampleRate, next());
  }
  return measureReturn({ ...played, sampleRate, table, mainsHz: 50 });
}

function truthsOf({ sampleRate, gain, b, c, offset, mainsHz, noise }, lines) {
  const a = nominal * gain;
  const first = a + 0.75 * c * a ** 3;
  const second = Math.abs(b) * a * (a / 2);
  const third = Math.abs(c) * a * a * (a / 4);
  const hum = lines.reduce(
    (sum, { order, amplitude }) => (order * mainsHz > 20 ? sum + amplitude ** 2 / 2 : sum),
    0,
  );
  const rest = (second ** 2 + third ** 2) / 2 + colouredPower(noise, sampleRate, 20, 20_000) + hum;
  return {
    level: db(first),
    thdN: powerDb(rest / (first ** 2 / 2)),
    thd: db(Math.hypot(second, third) / first),
    harmonic2: db(second / first),
    harmonic3: db(third / first),
    dc: 100 * offset,
  };
}

function outcomes(made, lines, what, next) {
  const { readings } = measure(made, lines, next);
  return readingOutcomes(readings, truthsOf(made, lines)).map((one) => ({
    ...one,
    id: `${one.id} ${what}`,
  }));
}

/** Noise that is 1/f up to 10 kHz. */
export const reddened = {
  run: (next) => outcomes(draw(next, 1), [], "in 1/f", next),
};

/** The twentieth line within 2 Hz of the tone, others beside it. */
export const mainsOnTone = {
  run(next) {
    const made = draw(next, 0.3);
    const strongest = between(next, -95, -50);
    const lines = [1, 2, 3, 19, 20, 21, 40].map((order) => ({
      order,
      amplitude: 10 ** ((strongest - (order === 20 ? 0 : between(next, 0, 30))) / 20),
    }));
    return outcomes(made, lines, "at a line", next);
  },
};
