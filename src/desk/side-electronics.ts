import { classifyStage } from "./stage-role.js";

/**
 * Words that do not mean the pan of a mono signal: the two sides of a stereo strip have a balance.
 */
const ofTwo = /\bbalance\b|\bstereo\b|\btwin\b|\bdual\b|\bleft\b|\bright\b/;

/**
 * Whether the two sides of a stereo bus come from one signal through a pan, or each from its own
 * electronics, as in a stereo strip: by the names of an input's stages.
 *
 * @param stages of the input, in signal order
 *
 * @returns undefined if they do not show it
 * @example
 * tellSideElectronics(["mic socket", "mic amplifier", "pan"]); // "one"
 * tellSideElectronics(["stereo line amplifier", "balance"]); // "two"
 */
export function tellSideElectronics(stages: readonly string[]): "one" | "two" | undefined {
  if (stages.some((stage) => ofTwo.test(stage.toLowerCase()))) return "two";
  return stages.some((stage) => classifyStage(stage).includes("pan")) ? "one" : undefined;
}
