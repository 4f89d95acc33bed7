import { parallel, thermalV2 } from "./levels.js";
import { createRng } from "./rng.js";
import { bandwidth, createOscillationStages, outputStage } from "./stages/amplifier.js";
import { createGainStage } from "./stages/gain.js";
import { createMainsLinesStage, fieldLines, rippleLines } from "./stages/mains.js";
import { whiteNoise } from "./stages/noise.js";
import { rc } from "./stages/rc.js";
import type { Occasion } from "./strip.js";
import type { InterfaceValues, MasterValues, Stage } from "./types.js";

/**
 * The stages from the bus to the interface's input. The summing amplifier is inverting and the
 * output turns the signal upright again.
 *
 * @param summingOhm resistor of the strip that is heard
 * @returns stages that turn volts before that resistor into volts at the interface's input
 */
export function masterStages(
  values: MasterValues,
  summingOhm: number,
  interfaceInput: InterfaceValues,
  occasion: Occasion,
): Stage[] {
  const { name, sampleRate, mainsHz } = occasion;
  const { summingFeedbackOhm, outputGain, amplifier, outputOhm } = values;
  const lines = [...fieldLines(values.magneticV), ...rippleLines(values.supply, mainsHz)];
  const { inputOhm, inputNoiseV } = interfaceInput;
  return [
    createGainStage(summingFeedbackOhm / summingOhm),
    whiteNoise(busNoiseV(values), createRng(`${name}/bus`), sampleRate),
    createMainsLinesStage(lines, mainsHz, createRng(`${name}/master-mains`), sampleRate),
    createGainStage(outputGain),
    ...bandwidth(amplifier, outputGain, sampleRate),
    outputStage(amplifier),
    ...createOscillationStages(amplifier, createRng(`${name}/master-oscillation`), sampleRate),
    rc(values.coupling, inputOhm + outputOhm, 0, inputOhm / (inputOhm + outputOhm), sampleRate),
    whiteNoise(inputNoiseV, createRng(`${name}/interface`), sampleRate),
  ];
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
