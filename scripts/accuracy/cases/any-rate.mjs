// Rows of up to four capacitors and three low-passes, slightly bent, with noise of any colour and lines of 50
// or 60 Hz, recorded at every rate from 44.1 to 192 kHz; every other one through an interface with a response,
// noise and lines of its own, after its calibration.
import { calibrateMeasurement } from "../../../dist/measure/calibration/calibrate-measurement.js";
import { buildInputCalibration } from "../../../dist/measure/calibration/loopback.js";
import { measureReturn } from "../../../dist/measure/measure.js";
import { addLine } from "../add-line.mjs";
import { colouredNoise, colouredPower } from "../coloured.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { nominal, playedSignal, tableOf } from "../render.mjs";
import {
  cornerOf,
  drawInterface,
  highPass,
  levelDb,
  lowPass,
  row,
  throughResponse,
} from "../shapes.mjs";

const rates = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000];
const segments = ["silence", "sweep", "tone-1k"];
const tables = new Map();
const db = (ratio) => 20 * Math.log10(ratio);
const powerDb = (power) => 10 * Math.log10(power);
const known = { dbu: 4, uncertaintyDb: 0.05 };

function tableFor(profile, band) {
  const key = `${profile} ${band}`;
  if (!tables.has(key)) tables.set(key, tableOf(segments, band, profile));
  return tables.get(key);
}

/** Amplitudes of mains lines, by order from 1. */
const drawLines = (next, strongestDbfs) =>
  Float64Array.from({ length: 40 }, (_, k) =>
    next() < (k < 3 ? 0.7 : 0.15) ? 10 ** ((strongestDbfs - between(next, 0, 30)) / 20) : 0,
  );

const many = (next, most, one) => Array.from({ length: 1 + Math.floor(most * next()) }, one);

function draw(next) {
  const sampleRate = rates[Math.floor(rates.length * next())];
  const nominalHz = next() < 0.5 ? 50 : 60;
  const bend = () => sign(next) * logBetween(next, 1e-5, 3e-3);
  const noise = (rmsDbfs, share) => ({
    rmsDbfs,
    cornerHz: next() < share ? logBetween(next, 10, 3000) : 0,
  });
  return {
    sampleRate,
    table: tableFor(next() < 0.3 ? "quick" : "standard", sampleRate > 48_000 ? "wide" : "base"),
    nominalHz,
    mainsHz: nominalHz + between(next, -0.2, 0.2),
    gain: 10 ** (between(next, -10, 2) / 20),
    response: row(
      ...many(next, 4, () => highPass(logBetween(next, 1, 30))),
      ...many(next, 3, () => lowPass(logBetween(next, 15_000, 150_000))),
    ),
    b: bend(),
    c: bend(),
    noise: noise(between(next, -110, -75), 0.5),
    lines: drawLines(next, between(next, -110, -60)),
    own: {
      response: drawInterface(next),
      // The input's, through which all comes that the path adds; else the output's.
      isInputs: next() < 0.5,
      noise: noise(between(next, -115, -100), 0.2),
      lines: drawLines(next, between(next, -125, -100)),
    },
  };
}

/** A return: the path where there is one, and behind it the interface where there is one. */
function measured(made, path, own, next) {
  const { sampleRate, table, mainsHz, nominalHz, gain, b, c } = made;
  const played = playedSignal(table, sampleRate, next);
  const { samples, clock } = played;
  const isLast = own?.isInputs === true;
  const parts = [path, isLast ? undefined : own].flatMap((part) => part?.response ?? []);
  throughResponse(samples, row(...parts), clock);
  if (path) {
    for (let n = 0; n < samples.length; n++) {
      const x = gain * samples[n];
      samples[n] = x + b * x * x + c * x * x * x;
    }
  }
  for (const part of [path, own]) {
    if (!part) continue;
    if (part === own && isLast) throughResponse(samples, own.response, clock);
    const noise = colouredNoise(part.noise, sampleRate, samples.length, next);
    for (let n = 0; n < samples.length; n++) samples[n] += noise[n];
    part.lines.forEach((amplitude, k) => {
      if (amplitude > 0) addLine(samples, amplitude, ((k + 1) * mainsHz) / sampleRate, next());
    });
  }
  return measureReturn({ ...played, sampleRate, table, mainsHz: nominalHz });
}

/** @param drivenDb by which the interface drives the path higher than it was sent */
function truthsOf(made, fullScaleDb, drivenDb = 0) {
  const { sampleRate, mainsHz, gain, response, b, c, noise, lines } = made;
  const top = Math.min(22_400, sampleRate / 2);
  const hum = (fromHz, toHz) =>
    lines.reduce((sum, a, k) => {
      const hz = (k + 1) * mainsHz;
      return hz > fromHz && hz < toHz ? sum + (a * a) / 2 : sum;
    }, 0);
  const hiss = (fromHz, toHz) => colouredPower(noise, sampleRate, fromHz, toHz);
  const a = nominal * gain * 10 ** ((levelDb(response, 1000) + drivenDb) / 20);
  const first = a + 0.75 * c * a ** 3;
  const harmonics = ((b * a * a) / 2) ** 2 / 2 + ((c * a ** 3) / 4) ** 2 / 2;
  const rest = harmonics + hiss(20, 20_000) + hum(20, 20_000);
  const hasLines = lines.some((line) => line > 0);
  return {
    noise: powerDb(2 * (hiss(22.4, top) + hum(22.4, top))) + fullScaleDb,
    hiss: powerDb(2 * hiss(22.4, top)) + fullScaleDb,
    hum: hasLines ? powerDb(2 * hum(0, top)) + fullScaleDb : undefined,
    mains: hasLines ? mainsHz : undefined,
    thdN: powerDb(rest / (first ** 2 / 2)),
    cornerLow: cornerOf(bentResponse(made), -1),
    cornerHigh: cornerOf(bentResponse(made), 1),
    level: db(first),
  };
}

/** The response as the sweep sees it: compressed by the bend as the tone is. */
const bentResponse =
  ({ response, gain, c }) =>
  (hz) => {
    const a = nominal * gain * 10 ** (levelDb(response, hz) / 20);
    return [a + 0.75 * c * a ** 3, 0];
  };

export function run(next) {
  const made = draw(next);
  const outcomes = (readings, truths, what) =>
    readingOutcomes(readings, truths).map((one) => ({ ...one, id: `${one.id} ${what}` }));
  if (next() < 0.5) {
    const { readings } = measured(made, made, undefined, next);
    return outcomes(readings, truthsOf(made, 0), "all rates");
  }
  const loops = [0, 1].map(() => measured(made, undefined, made.own, next));
  const input = buildInputCalibration(0, loops, known);
  const heard = measured(made, made, made.own, next);
  const { readings } = calibrateMeasurement(heard, { input, socketDbu: 4, socketDb: 0.05 });
  // 4 dBu came back as nominal level through the interface.
  const drivenDb = made.own.isInputs ? 0 : levelDb(made.own.response, 1000);
  const { level, mains, ...truths } = truthsOf(made, 4 - db(nominal) - drivenDb, drivenDb);
  return outcomes(readings, truths, "cal. rates");
}
