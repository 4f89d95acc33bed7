import { parallel, thermalV2 } from "./levels.js";
import { createRng } from "./rng.js";
import { computeGroupNoise } from "./shared-parts.js";
import type { Group } from "./shared-types.js";
import { createGainStage } from "./stages/gain.js";
import { whiteNoise } from "./stages/noise.js";
import type { Occasion } from "./strip.js";
import type { Stage } from "./types.js";

/**
 * The stages of a group, from a strip's summing resistor to the resistors before the mix bus. Its
 * output is not inverted.
 *
 * @param summingOhm resistor of the strip that is played
 */
export function createGroupStages(
  group: Group,
  summingOhm: number,
  { name, sampleRate }: Occasion,
): Stage[] {
  const { feedbackOhm, busOhm } = group;
  const resistorsV2 = thermalV2(parallel(feedbackOhm, busOhm)) * (1 + feedbackOhm / busOhm) ** 2;
  const noiseV = Math.sqrt(computeGroupNoise(group) ** 2 + resistorsV2);
  return [
    createGainStage(feedbackOhm / summingOhm),
    whiteNoise(noiseV, createRng(`${name}/group`), sampleRate),
  ];
}
