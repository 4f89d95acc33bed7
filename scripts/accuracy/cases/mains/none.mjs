// Noise of any colour without a line: what is found is false.
import { drawSilence, measureSilence, silenceOutcomes } from "./silence.mjs";

export function run(next) {
  const made = drawSilence(next, 0.7);
  return silenceOutcomes(made, [], measureSilence(made, [], next));
}
