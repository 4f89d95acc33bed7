import { classifyStage } from "./stage-role.js";

/** What a pan of one signal is not called: the two sides of a stereo strip are balanced. */
const ofTwo = /\bbalance\b|\bstereo\b|\btwin\b|\bdual\b|\bleft\b|\bright\b/;

/**
 * Whether the two sides of a stereo bus come from one signal, behind a pan, or each from electronics of
 * its own, as in a stereo strip: by the names of an input's stages.
 *
 * @param stages of the input, in the order of the signal
 * @returns undefined where they do not tell
 * @example
 * tellSideElectronics(["mic socket", "mic amplifier", "pan"]); // "one"
 * tellSideElectronics(["stereo line amplifier", "balance"]); // "two"
 */
export function tellSideElectronics(stages: readonly string[]): "one" | "two" | undefined {
  if (stages.some((stage) => ofTwo.test(stage.toLowerCase()))) return "two";
  return stages.some((stage) => classifyStage(stage).includes("pan")) ? "one" : undefined;
}
