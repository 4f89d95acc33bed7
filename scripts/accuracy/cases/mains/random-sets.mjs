// Random sets among lines 1 to 40, from just below the noise to 60 dB above the hiss.
import { between } from "../../random.mjs";
import { drawSilence, lineOver, measureSilence, silenceOutcomes } from "./silence.mjs";

export function run(next) {
  const made = drawSilence(next);
  const share = next() < 0.3 ? 0.05 : between(next, 0.05, 0.6);
  const overDb = between(next, 0, 50);
  const lines = [];
  for (let order = 1; order <= 40; order++) {
    if (next() > share) continue;
    lines.push({ order, amplitude: lineOver(made, order, overDb + between(next, -10, 10)) });
  }
  return silenceOutcomes(made, lines, measureSilence(made, lines, next));
}
