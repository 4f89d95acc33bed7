// Strong lines among 7 to 20, or a single one, with weak ones below or none: a switching supply's.
import { between } from "../../random.mjs";
import { drawSilence, lineOver, measureSilence, silenceOutcomes } from "./silence.mjs";

export function run(next) {
  const made = drawSilence(next);
  const overDb = between(next, 15, 60);
  const lines = [];
  const alone = next() < 0.25 ? 7 + Math.floor(6 * next()) : undefined;
  for (let order = 7; order <= 20; order++) {
    if (alone === undefined ? next() < 0.4 : order === alone) {
      lines.push({ order, amplitude: lineOver(made, order, overDb + between(next, -8, 8)) });
    }
  }
  if (alone === undefined && next() < 0.5) {
    for (const order of [1, 2, 3]) {
      lines.push({ order, amplitude: lineOver(made, order, between(next, 3, 15)) });
    }
  }
  return silenceOutcomes(made, lines, measureSilence(made, lines, next));
}
