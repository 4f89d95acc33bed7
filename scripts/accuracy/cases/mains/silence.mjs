// A silence with lines at any multiples of the mains in noise of any colour.
import { computeAWeighting } from "../../../../dist/dsp/weighting.js";
import { measureReturn } from "../../../../dist/measure/measure.js";
import { buildSignalTable } from "../../../../dist/signal/signal-table.js";
import { addLine } from "../../add-line.mjs";
import { colouredNoise, colouredPower, colouredWeightedPower } from "../../coloured.mjs";
import { curveOutcomes, readingOutcomes } from "../../outcomes.mjs";
import { between, logBetween } from "../../random.mjs";

const powerDb = (power) => 10 * Math.log10(power);
const noiseBand = { fromHz: 22.4, toHz: 22_400 };
/** Lines that `hum` sums up. */
const counted = 40;

/**
 * What a silence of these kinds has in common: rate, length, mains, noise.
 *
 * @param cornerShare how often its noise has a 1/f part, with a corner up to 10 kHz
 */
export function drawSilence(next, cornerShare = 0.5) {
  const dice = next();
  const nominalHz = next() < 0.5 ? 50 : 60;
  const rmsDbfs = between(next, -110, -70);
  return {
    profile: next() < 0.3 ? "quick" : "standard",
    sampleRate: dice < 0.6 ? 48_000 : dice < 0.92 ? 44_100 : 96_000,
    nominalHz,
    mainsHz: nominalHz + between(next, -0.25, 0.25),
    noise: { rmsDbfs, cornerHz: next() < cornerShare ? logBetween(next, 10, 10_000) : 0 },
    bits: 0,
  };
}

/**
 * Level of a line that stands as high above the noise in its own 1/T, decibels.
 */
export function lineOver(made, order, overDb) {
  const white = (0.5 * 10 ** (made.noise.rmsDbfs / 10)) / (made.sampleRate / 2);
  const density = white * (1 + made.noise.cornerHz / (order * made.mainsHz));
  const seconds = made.profile === "quick" ? 1.1 : 2.9;
  return Math.sqrt((2 * density * 10 ** (overDb / 10)) / seconds);
}

/**
 * @param lines rows { order, amplitude, turn }; phase in turns, drawn when left out
 */
export function measureSilence(made, lines, next) {
  const { sampleRate, mainsHz, noise } = made;
  const table = buildSignalTable(made.profile, "base");
  const clock = sampleRate * (1 + (400 * next() - 200) * 1e-6);
  const silence = table.segments.find(({ kind }) => kind === "silence");
  const length = Math.ceil((silence.startS + silence.lengthS) * clock) + 2;
  const samples = colouredNoise(noise, sampleRate, length, next).slice();
  for (const { order, amplitude, turn = next() } of lines) {
    addLine(samples, amplitude, (order * mainsHz) / sampleRate, turn);
  }
  if (made.bits > 0) quantise(samples, made.bits, next);
  const audio = { samples, origin: 0, clock, sampleRate, table, mainsHz: made.nominalHz };
  return measureReturn(audio);
}

/** Rounded to a number of bits with TPDF dither of 2 LSB peak to peak. */
function quantise(samples, bits, next) {
  const q = 2 ** (1 - bits);
  for (let n = 0; n < samples.length; n++) {
    samples[n] = q * Math.round(samples[n] / q + next() + next() - 1);
  }
}

/** The quantiser adds q²/4 in total, white (tests/reference/levels.json). */
const quantiserPower = ({ bits, sampleRate }, fromHz, toHz) =>
  bits > 0 ? (2 ** (2 - 2 * bits) / 4) * ((toHz - fromHz) / (sampleRate / 2)) : 0;

/** Everything that the silence has a truth for, and whether the comb locked onto the mains. */
export function silenceOutcomes(made, lines, { readings, curves }) {
  const { sampleRate, mainsHz, noise, nominalHz } = made;
  const top = Math.min(noiseBand.toHz, sampleRate / 2);
  const low = lines.filter(({ order }) => order <= counted);
  const square = (some) => some.reduce((sum, { amplitude }) => sum + amplitude ** 2, 0);
  const humIn = (fromHz, toHz, weight = () => 1) =>
    lines.reduce((sum, { order, amplitude }) => {
      const hz = order * mainsHz;
      return hz >= fromHz && hz <= toHz ? sum + (amplitude ** 2 / 2) * weight(hz) : sum;
    }, 0);
  const hissIn = (fromHz, toHz) =>
    colouredPower(noise, sampleRate, fromHz, toHz) + quantiserPower(made, fromHz, toHz);
  const aWeight = (hz) => computeAWeighting(hz) ** 2;
  const truths = {
    hum: powerDb(square(low)),
    humOdd: powerDb(square(low.filter(({ order }) => order % 2 === 1))),
    humEven: powerDb(square(low.filter(({ order }) => order % 2 === 0))),
    mains: lines.length > 0 ? mainsHz : undefined,
    hiss: powerDb(2 * hissIn(noiseBand.fromHz, top)),
    noise: powerDb(2 * (hissIn(noiseBand.fromHz, top) + humIn(noiseBand.fromHz, top))),
    noise20k: powerDb(2 * (hissIn(20, 20_000) + humIn(20, 20_000))),
    noiseA:
      made.bits > 0
        ? undefined
        : powerDb(
            2 *
              (colouredWeightedPower(noise, sampleRate, noiseBand.fromHz, top, aWeight) +
                humIn(noiseBand.fromHz, top, aWeight)),
          ),
  };
  const outcomes = readingOutcomes(readings, truths);
  if (curves.humLines) {
    const amplitudeOf = (order) =>
      lines.filter((line) => line.order === order).reduce((sum, line) => sum + line.amplitude, 0);
    outcomes.push(
      ...curveOutcomes("humLines curve", curves.humLines, (hz) =>
        powerDb(amplitudeOf(Math.round(hz / nominalHz)) ** 2),
      ),
    );
  }
  return [...outcomes, lockOutcome(made, lines, readings.mains)];
}

/** A lock is false where there is no line, or where it lies many deviations and a millihertz away. */
function lockOutcome({ mainsHz }, lines, mains) {
  const off = mains === undefined ? 0 : Math.abs(mains.value - mainsHz);
  const isFalse =
    mains !== undefined && (lines.length === 0 || off > Math.max(1e-3, 4 * mains.uncertainty));
  return { id: "mains lock", bound: true, held: !isFalse };
}
