// Noise of a path whose loopback, or whose round, was written in 16 bits while the other was not: with
// triangular dither or with none, the interface's noise all its input's, above the last bit or far beneath.
import { calibrateMeasurement } from "../../../dist/measure/calibration/calibrate-measurement.js";
import { buildInputCalibration } from "../../../dist/measure/calibration/loopback.js";
import { measureSome } from "../measure-some.mjs";
import { readingOutcomes } from "../outcomes.mjs";
import { between, gaussian } from "../random.mjs";
import { nominal, playedSignal, tableOf } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "tone-1k"]);
const ids = ["level", "gain", "hiss", "noise", "thd", "thdN"];
const step = 2 ** -15;
const known = { dbu: 4, uncertaintyDb: 0.05 };
const powerDb = (power) => 10 * Math.log10(power);

/** @param isDithered undefined where it is written as it is */
function measured(power, isDithered, next) {
  const played = playedSignal(table, sampleRate, next);
  const { samples } = played;
  const normal = gaussian(next);
  for (let n = 0; n < samples.length; n++) {
    samples[n] += Math.sqrt(power / 2) * normal();
    if (isDithered === undefined) continue;
    const dither = isDithered ? step * (next() - next()) : 0;
    samples[n] = step * Math.round((samples[n] + dither) / step);
  }
  const { readings, absent } = measureSome({ ...played, sampleRate, table, mainsHz: 50 }, ids);
  return { readings, absent, curves: {} };
}

export function run(next) {
  const own = 10 ** (between(next, -108, -88) / 10);
  const path = 10 ** (between(next, -104, -80) / 10);
  const isRound = next() < 0.5;
  const isDithered = next() < 0.5;
  const loop = () => measured(own, isRound ? undefined : isDithered, next);
  const input = buildInputCalibration(0, [loop(), loop()], known);
  // A loopback without any noise is refused as one that never left the computer.
  if (!input.readings.noise) return [];
  const heard = measured(own + path, isRound ? isDithered : undefined, next);
  const [heardStep, ownStep] = isRound ? [step, 0] : [0, step];
  const words = { heardStep, ownStep, sampleRate };
  const { readings } = calibrateMeasurement(heard, { input, socketDbu: 4, socketDb: 0.05, words });
  const { hiss, noise, thdN } = readings;
  const inBand = (fromHz, toHz) => powerDb((path * (toHz - fromHz)) / (sampleRate / 2));
  // 4 dBu came back as nominal level.
  const fullScaleDbu = 4 - powerDb(nominal ** 2);
  const truths = {
    hiss: inBand(22.4, 22_400) + fullScaleDbu,
    noise: inBand(22.4, 22_400) + fullScaleDbu,
    thdN: inBand(20, 20_000) - powerDb(nominal ** 2),
  };
  return readingOutcomes({ hiss, noise, thdN }, truths).map((one) => ({
    ...one,
    id: `${one.id} other words`,
  }));
}
