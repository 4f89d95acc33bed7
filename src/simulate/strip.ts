import { factorOfDb, parallel, thermalV2 } from "./levels.js";
import { createRng } from "./rng.js";
import { bandwidth, createOscillationStages, outputStage } from "./stages/amplifier.js";
import { equaliser, lowCut } from "./stages/biquad.js";
import { contact } from "./stages/contact.js";
import { rcLowPass } from "./stages/first-order.js";
import { createGainStage, offset } from "./stages/gain.js";
import { dirtyJack } from "./stages/jack.js";
import { leakage } from "./stages/leakage.js";
import { legGains, receiverNoiseV2 } from "./stages/legs.js";
import { createMainsLinesStage, fieldLines, rippleLines } from "./stages/mains.js";
import { flickerNoise, whiteNoise } from "./stages/noise.js";
import { rc } from "./stages/rc.js";
import { wiper } from "./stages/wiper.js";
import type { PathValues, Stage } from "./types.js";

/** What holds for one rendering of one path, whatever the components. */
export interface Occasion {
  /** Names the noise; the same name gives the same noise. */
  readonly name: string;
  readonly sampleRate: number;
  /** The mains as it is during this capture. */
  readonly mainsHz: number;
  /** Longest block a stage will be given. */
  readonly blockLength: number;
  /** Noise of the interface's output, V/√Hz. */
  readonly sourceNoiseV: number;
}

/**
 * The stages from the interface's output to the resistor before the bus, in the order of the
 * signal.
 *
 * @returns stages that turn volts at the interface into volts that drive the summing resistor
 */
export function stripStages(values: PathValues, occasion: Occasion): Stage[] {
  const { sampleRate } = occasion;
  const { contact: connector } = values;
  return [
    ...inputStages(values, occasion),
    ...gainStages(values, occasion),
    rc(values.coupling, connector.loadOhm, 0, 1, sampleRate),
    ...leakage(
      values.leakage,
      connector.loadOhm,
      createRng(`${occasion.name}/leakage`),
      sampleRate,
      occasion.blockLength,
    ),
    contact(connector, createRng(`${occasion.name}/contact`), sampleRate),
    ...(values.lowCut === "out" ? [] : lowCut(values.lowCut, sampleRate)),
    ...(values.equaliser === "out" ? [] : [equaliser(values.equaliser, sampleRate)]),
    ...busWiring(values, occasion),
  ];
}

function inputStages(values: PathValues, occasion: Occasion): Stage[] {
  if (values.jack.wornOhm > 0) return dirtyInput(values, occasion);
  const { differential, common } = legGains(values);
  const { commonV, differentialV } = values.cable;
  const hum = fieldLines(commonV * common + differentialV * differential);
  const rng = createRng(`${occasion.name}/cable`);
  return [
    createGainStage(values.padGain * differential),
    createMainsLinesStage(hum, occasion.mainsHz, rng, occasion.sampleRate),
  ];
}

function dirtyInput(values: PathValues, occasion: Occasion): Stage[] {
  const { name, sampleRate, mainsHz, blockLength } = occasion;
  const { hot, jack } = values;
  const worn = { ...values, hot: { ...hot, contactOhm: hot.contactOhm + jack.wornOhm } };
  const hum = createMainsLinesStage(fieldLines(1), mainsHz, createRng(`${name}/cable`), sampleRate);
  return [
    createGainStage(values.padGain),
    dirtyJack(
      { clean: legGains(values), worn: legGains(worn), filmV: jack.filmV },
      { ...values.cable, hum },
      createRng(`${name}/jack`),
      sampleRate,
      blockLength,
    ),
  ];
}

function gainStages(values: PathValues, occasion: Occasion): Stage[] {
  const { name, sampleRate, blockLength } = occasion;
  const { feedbackOhm, legOhm, legCapacitor, amplifier } = values.gain;
  const { noiseV, flickerHz } = amplifier;
  const sourceV = occasion.sourceNoiseV * values.padGain * legGains(values).differential;
  const whiteV = Math.sqrt(
    sourceV ** 2 + receiverNoiseV2(values) + thermalV2(parallel(feedbackOhm, legOhm)) + noiseV ** 2,
  );
  const lines = [...fieldLines(values.magneticV), ...rippleLines(values.supply, occasion.mainsHz)];
  return [
    whiteNoise(whiteV, createRng(`${name}/white`), sampleRate),
    flickerNoise(noiseV, flickerHz, createRng(`${name}/flicker`), sampleRate, blockLength),
    rc(legCapacitor, legOhm, 1, feedbackOhm / legOhm, sampleRate),
    ...wiper(values.wiper, createRng(`${name}/wiper`), sampleRate),
    ...bandwidth(amplifier, 1 + feedbackOhm / legOhm, sampleRate),
    outputStage(amplifier),
    ...createOscillationStages(amplifier, createRng(`${name}/oscillation`), sampleRate),
    createMainsLinesStage(lines, occasion.mainsHz, createRng(`${name}/strip-mains`), sampleRate),
  ];
}

/** Fader and pan drive the wiring to the bus, whose capacitance they must charge. */
function busWiring(values: PathValues, { sampleRate }: Occasion): Stage[] {
  const { driveOhm, summingOhm, shuntFarad, faderDb, offsetV } = values;
  const share = summingOhm / (driveOhm + summingOhm);
  const level = createGainStage(share * factorOfDb(faderDb));
  const cornerHz = 1 / (2 * Math.PI * parallel(driveOhm, summingOhm) * shuntFarad);
  const wiring = cornerHz > 20 * sampleRate ? [] : rcLowPass(cornerHz, sampleRate);
  return [...(offsetV === 0 ? [] : [offset(offsetV)]), level, ...wiring];
}
