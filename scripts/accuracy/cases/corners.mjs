// Corners of every make: of rows of up to six filters under hum far above the hiss, of
// shapes that no such row has, and through an interface whose own response is taken out again.
import { calibrateMeasurement } from "../../../dist/measure/calibration/calibrate-measurement.js";
import { buildInputCalibration } from "../../../dist/measure/calibration/loopback.js";
import { measureReturn } from "../../../dist/measure/measure.js";
import { computeResponseCurve } from "../../../dist/measure/response.js";
import { addLine } from "../add-line.mjs";
import { measureSome } from "../measure-some.mjs";
import { noiseSource } from "../noise.mjs";
import { curveOutcomes, readingOutcomes } from "../outcomes.mjs";
import { between, logBetween } from "../random.mjs";
import { playedSignal, tableOf } from "../render.mjs";
import {
  cornerOf,
  drawInterface,
  drawShape,
  fallenTo,
  highPass,
  highPass2,
  levelDb,
  lowPass,
  lowPass2,
  row,
  throughResponse,
} from "../shapes.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "sweep", "tone-1k"]);

/** A return through a response, with noise and mains lines behind it. */
function returnOf(response, { noiseDbfs, humDbfs }, next) {
  const played = playedSignal(table, sampleRate, next);
  const { samples } = played;
  throughResponse(samples, response, played.clock);
  const noise = noiseSource({ rmsDbfs: noiseDbfs, share: 0 }, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] += noise();
  if (humDbfs > -200) addHum(samples, humDbfs, next);
  return { ...played, sampleRate, table, mainsHz: 50 };
}

/** Corners and response of a return against the truth. */
function cornerOutcomes(audio, response, what) {
  const { context, readings } = measureSome(audio, ["cornerLow", "cornerHigh"]);
  const at1k = levelDb(response, 1000);
  return [
    ...renamed(readingOutcomes(readings, truthsOf(response)), what),
    ...curveOutcomes(
      `response ${what}`,
      computeResponseCurve(context),
      (hz) => levelDb(response, hz) - at1k,
    ),
  ];
}

function addHum(samples, humDbfs, next) {
  const mainsHz = 50 + between(next, -0.1, 0.1);
  for (const [k, below] of [
    [1, 0],
    [2, between(next, 5, 25)],
    [3, between(next, 0, 20)],
    [5, between(next, 5, 25)],
  ]) {
    const amplitude = 10 ** ((humDbfs - below) / 20);
    addLine(samples, amplitude, (k * mainsHz) / sampleRate, next());
  }
}

function drawFilters(next) {
  // as many capacitors as a path has stages
  const many = (one) => row(...Array.from({ length: 3 + Math.floor(4 * next()) }, one));
  const low = [
    () => row(highPass(logBetween(next, 1, 40))),
    () => row(highPass(logBetween(next, 1, 20)), highPass(logBetween(next, 1, 20))),
    () => row(highPass2(logBetween(next, 8, 100), between(next, 0.5, 1))),
    () => many(() => highPass(logBetween(next, 0.4, 12))),
  ];
  const high = [
    () => row(lowPass(logBetween(next, 9000, 55_000))),
    () => row(lowPass(logBetween(next, 20_000, 90_000)), lowPass(logBetween(next, 20_000, 90_000))),
    () => row(lowPass2(logBetween(next, 12_000, 45_000), between(next, 0.5, 1))),
    () => many(() => lowPass(logBetween(next, 40_000, 400_000))),
  ];
  const one = (list) => list[Math.floor(next() * list.length)]();
  return row(one(low), one(high));
}

const truthsOf = (response) => ({
  cornerLow: cornerOf(response, -1),
  cornerHigh: cornerOf(response, 1),
});

/** Of filters that pass 0 dB, as docs/methods.md defines it: Butterworth's through −3 and −10 dB. */
function orderOf(response, direction) {
  const [half, tenth] = [2, 10].map((ratio) => fallenTo(response, direction, ratio));
  return Math.log(9) / Math.abs(2 * Math.log(tenth / half));
}

const renamed = (outcomes, what) => outcomes.map((one) => ({ ...one, id: `${one.id} ${what}` }));

/** Strong hum: up to 60 dB over the hiss. */
export const underHum = {
  run(next) {
    const response = drawFilters(next);
    const noiseDbfs = between(next, -105, -85);
    const levels = { noiseDbfs, humDbfs: noiseDbfs + between(next, 10, 60) };
    const audio = returnOf(response, levels, next);
    const { readings } = measureSome(audio, ["orderLow", "orderHigh"]);
    const orders = { orderLow: orderOf(response, -1), orderHigh: orderOf(response, 1) };
    return [
      ...cornerOutcomes(audio, response, "under hum"),
      ...renamed(readingOutcomes(readings, orders), "under hum"),
    ];
  },
};

/** Brick walls, steep filters, shelves and peaks. */
export const shapes = {
  run(next) {
    const { response } = drawShape(next);
    const levels = { noiseDbfs: between(next, -105, -80), humDbfs: -300 };
    return cornerOutcomes(returnOf(response, levels, next), response, "of shapes");
  },
};

/** Through an interface with corners, slope and ripple of its own, after its calibration. */
export const calibrated = {
  run(next) {
    const path = drawFilters(next);
    const own = drawInterface(next);
    const quiet = { noiseDbfs: between(next, -115, -95), humDbfs: -300 };
    const loops = [0, 1].map(() => measureReturn(returnOf(own, quiet, next)));
    const known = { dbu: 4, uncertaintyDb: 0.05 };
    const input = buildInputCalibration(0, loops, known);
    const noiseDbfs = between(next, -105, -80);
    const heard = returnOf(
      row(path, own),
      { noiseDbfs, humDbfs: logBetween(next, 1, 300) > 30 ? noiseDbfs + 20 : -300 },
      next,
    );
    const { readings, curves } = calibrateMeasurement(measureReturn(heard), {
      input,
      socketDbu: 4,
      socketDb: 0.05,
    });
    const { cornerLow, cornerHigh } = readings;
    const at1k = levelDb(path, 1000);
    return [
      ...renamed(readingOutcomes({ cornerLow, cornerHigh }, truthsOf(path)), "calibrated"),
      ...curveOutcomes("response calibrated", curves.response, (hz) => levelDb(path, hz) - at1k),
    ];
  },
};
