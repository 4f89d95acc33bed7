// A line or two, the first and the ninth among them, in noise that is 1/f far up.
import { between } from "../../random.mjs";
import { drawSilence, lineOver, measureSilence, silenceOutcomes } from "./silence.mjs";

export function run(next) {
  const made = drawSilence(next, 1);
  const orders = next() < 0.5 ? [1, 9] : [1 + Math.floor(3 * next()), 4 + Math.floor(12 * next())];
  const lines = orders.map((order) => ({
    order,
    amplitude: lineOver(made, order, between(next, 0, 30)),
  }));
  return silenceOutcomes(made, lines, measureSilence(made, lines, next));
}
