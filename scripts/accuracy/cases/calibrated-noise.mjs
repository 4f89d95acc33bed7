// Noise, hum and distortion through an interface that has all of them too, some in its output and some in
// its input, after its calibration: lines of the mains on both sides, their phases anew at each return, and
// harmonics that rise with the level at the input.
import { calibrateMeasurement } from "../../../dist/measure/calibration/calibrate-measurement.js";
import { buildInputCalibration } from "../../../dist/measure/calibration/loopback.js";
import { measureReturn } from "../../../dist/measure/measure.js";
import { addLine } from "../add-line.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, gaussian, logBetween, sign } from "../random.mjs";
import { nominal, playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k", "steps-1k"]);
const db = (ratio) => 20 * Math.log10(ratio);
const powerDb = (ratio) => 10 * Math.log10(ratio);
const known = { dbu: 4, uncertaintyDb: 0.05 };

/** Amplitudes of mains lines, by order from 1. */
function drawLines(next, strongestDbfs) {
  const lines = new Float64Array(40);
  const many = next() < 0.3 ? 0.4 : 0.08;
  for (let k = 0; k < lines.length; k++) {
    const is = k < 3 ? next() < 0.7 : next() < many;
    if (is) lines[k] = 10 ** ((strongestDbfs - (k === 0 ? 0 : between(next, 0, 30))) / 20);
  }
  return lines;
}

/** A bent line, as a stage has one: x + b·x² + c·x³. */
const drawBend = (next, least, most) => ({
  b: sign(next) * logBetween(next, least, most),
  c: sign(next) * logBetween(next, least, most),
});
const bent = ({ b, c }, x) => x + b * x * x + c * x * x * x;

function draw(next) {
  const stage = (rms, hum, bend) => ({ rms: 10 ** (rms / 20), lines: drawLines(next, hum), bend });
  const inputDbfs = between(next, -112, -98);
  return {
    gain: 10 ** (between(next, -10, 6) / 20),
    output: stage(
      // Either side may be the noisier one.
      inputDbfs + between(next, -12, 12),
      between(next, -135, -100),
      drawBend(next, 1e-6, 3e-5),
    ),
    path: stage(between(next, -110, -85), between(next, -120, -85), drawBend(next, 1e-5, 1e-2)),
    input: stage(inputDbfs, between(next, -130, -100), drawBend(next, 1e-6, 1e-4)),
    mainsHz: 50 + between(next, -0.1, 0.1),
  };
}

/** Adds a stage's noise and lines, then bends; `gain` before it. */
function through(samples, { rms, lines, bend }, gain, mainsHz, next) {
  const normal = gaussian(next);
  const turns = Array.from(lines, next);
  const orders = [...lines.keys()].filter((k) => lines[k] > 0);
  for (let n = 0; n < samples.length; n++) {
    samples[n] = gain * bent(bend, samples[n]) + rms * Math.SQRT1_2 * normal();
  }
  for (const k of orders) {
    addLine(samples, lines[k], ((k + 1) * mainsHz) / sampleRate, turns[k]);
  }
}

function measured(stages, made, next) {
  const played = playedSignal(table, sampleRate, next);
  for (const [stage, gain] of stages) through(played.samples, stage, gain, made.mainsHz, next);
  return measureReturn({ ...played, sampleRate, table, mainsHz: 50 });
}

export function run(next) {
  const made = draw(next);
  const { output, path, input, gain } = made;
  const loop = [
    [output, 1],
    [input, 1],
  ];
  const own = buildInputCalibration(
    0,
    [0, 1].map(() => measured(loop, made, next)),
    known,
  );
  const heard = measured(
    [
      [output, 1],
      [path, gain],
      [input, 1],
    ],
    made,
    next,
  );
  const { readings } = calibrateMeasurement(heard, {
    input: own,
    socketDbu: 4,
    socketDb: 0.05,
    sourceOhm: 0.001,
  });
  const { noise, noise20k, ein, hiss, hum, humOdd, humEven, thd, thdHot, harmonic2, harmonic3 } =
    readings;
  const outcomes = readingOutcomes(
    { noise, noise20k, ein, hiss, hum, humOdd, humEven, thd, thdHot, harmonic2, harmonic3 },
    truthsOf(made),
  );
  return outcomes.map((one) => ({ ...one, id: `${one.id} calibrated` }));
}

function truthsOf({ path, gain, mainsHz }) {
  // 4 dBu came back as nominal level.
  const fullScaleDbu = 4 - db(nominal);
  const hiss = (fromHz, toHz) => (path.rms ** 2 * (toHz - fromHz)) / (sampleRate / 2);
  const lines = (counts) =>
    path.lines.reduce((sum, a, k) => (counts(k + 1) ? sum + a * a : sum), 0);
  const sum = (fromHz, toHz) =>
    hiss(fromHz, toHz) + lines((n) => n * mainsHz > fromHz && n * mainsHz < toHz);
  const dbu = (power) => powerDb(power) + fullScaleDbu;
  const harmonics = (a) => {
    const { b, c } = path.bend;
    const first = a + 0.75 * c * a ** 3;
    return { second: Math.abs((b * a * a) / 2 / first), third: Math.abs((c * a ** 3) / 4 / first) };
  };
  const plain = harmonics(nominal);
  const hot = harmonics(nominal * 10 ** (12 / 20));
  return {
    noise: dbu(sum(22.4, 22_400)),
    noise20k: dbu(sum(20, 20_000)),
    ein: dbu(sum(20, 20_000)) - (db(nominal * gain) + fullScaleDbu) + 4,
    hiss: dbu(hiss(22.4, 22_400)),
    hum: dbu(lines(() => true)),
    humOdd: dbu(lines((n) => n % 2 === 1)),
    humEven: dbu(lines((n) => n % 2 === 0)),
    thd: db(Math.hypot(plain.second, plain.third)),
    thdHot: db(Math.hypot(hot.second, hot.third)),
    harmonic2: db(plain.second),
    harmonic3: db(plain.third),
  };
}
