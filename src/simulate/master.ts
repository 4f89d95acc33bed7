import { parallel, thermalV2 } from "./levels.js";
import { createRng } from "./rng.js";
import { bandwidth, createOscillationStages, outputStage } from "./stages/amplifier.js";
import { rcLowPass } from "./stages/first-order.js";
import { createGainStage } from "./stages/gain.js";
import { createMainsLinesStage, fieldLines, rippleLines } from "./stages/mains.js";
import { whiteNoise } from "./stages/noise.js";
import { rc } from "./stages/rc.js";
import type { Occasion } from "./strip.js";
import type { Capacitor, InterfaceValues, MasterValues, Stage } from "./types.js";

/**
 * The stages from the bus to the interface's input. The summing amplifier inverts and the output
 * inverts again.
 *
 * @param summingOhm resistor of the strip that is played
 * @param earthV between the grounds of desk and interface, peak volts of the mains' fundamental
 * @returns stages that turn volts before that resistor into volts at the interface's input
 */
export function masterStages(
  values: MasterValues,
  summingOhm: number,
  interfaceInput: InterfaceValues,
  occasion: Occasion,
  earthV = 0,
): Stage[] {
  return [
    ...summingStages(values, summingOhm, occasion),
    ...outputStages(values, interfaceInput, occasion, earthV),
  ];
}

/** From the bus to the insert of the mix. */
function summingStages(values: MasterValues, summingOhm: number, occasion: Occasion): Stage[] {
  const { name, sampleRate } = occasion;
  const { summingFeedbackOhm, summingFeedbackFarad } = values;
  const shunt =
    summingFeedbackFarad === undefined
      ? []
      : rcLowPass(1 / (2 * Math.PI * summingFeedbackOhm * summingFeedbackFarad), sampleRate);
  return [
    createGainStage(summingFeedbackOhm / summingOhm),
    whiteNoise(busNoiseV(values), createRng(`${name}/bus`), sampleRate),
    ...shunt,
  ];
}

/**
 * From the return of the mix's insert to the interface's input. The output is unbalanced: a voltage
 * between the grounds at its two ends adds to the signal.
 *
 * @param earthV as for {@link masterStages}
 */
export function outputStages(
  values: MasterValues,
  interfaceInput: InterfaceValues,
  occasion: Occasion,
  earthV = 0,
): Stage[] {
  const { name, sampleRate, mainsHz } = occasion;
  const { outputGain, amplifier } = values;
  const lines = [...fieldLines(values.magneticV), ...rippleLines(values.supply, mainsHz)];
  return [
    createMainsLinesStage(lines, mainsHz, createRng(`${name}/master-mains`), sampleRate),
    createGainStage(outputGain),
    ...bandwidth(amplifier, outputGain, sampleRate),
    outputStage(amplifier),
    ...createOscillationStages(amplifier, createRng(`${name}/master-oscillation`), sampleRate),
    ...interfaceStages(values, interfaceInput, occasion, earthV),
  ];
}

/** From the output stage through coupling capacitor and cable into the interface. */
function interfaceStages(
  { outputOhm, coupling }: MasterValues,
  { inputOhm, inputNoiseV, inputFarad, humV = 0, cable }: InterfaceValues,
  { name, sampleRate, mainsHz }: Occasion,
  earthV: number,
): Stage[] {
  const sourceOhm = outputOhm + (cable?.contactOhm ?? 0);
  const foreign = fieldLines(humV + earthV);
  return [
    rc(coupling, inputOhm + sourceOhm, 0, inputOhm / (inputOhm + sourceOhm), sampleRate),
    ...(cable === undefined
      ? []
      : rcLowPass(1 / (2 * Math.PI * parallel(sourceOhm, inputOhm) * cable.farad), sampleRate)),
    ...(inputFarad === undefined ? [] : [rc(film(inputFarad), inputOhm, 0, 1, sampleRate)]),
    ...(humV + earthV === 0
      ? []
      : [createMainsLinesStage(foreign, mainsHz, createRng(`${name}/foreign-mains`), sampleRate)]),
    whiteNoise(inputNoiseV, createRng(`${name}/interface`), sampleRate),
  ];
}

/** An ideal capacitor. */
function film(farad: number): Capacitor {
  return { farad, seriesOhm: 0, second: 0, third: 0 };
}

/** Noise after the summing amplifier, V/√Hz: all strips hang on the bus, so its noise gain is high. */
function busNoiseV(values: MasterValues): number {
  const { summingFeedbackOhm, busOhm, summingNoiseV, amplifier } = values;
  const noiseGain = 1 + summingFeedbackOhm / busOhm;
  return Math.sqrt(
    (summingNoiseV ** 2 + thermalV2(parallel(summingFeedbackOhm, busOhm))) * noiseGain ** 2 +
      amplifier.noiseV ** 2,
  );
}
