// A dimmer's comb: pulses with each half-wave, unequal by a little, whose lines stand in phase and
// fall slowly up to 10 kHz; the whole up to 70 dB above the hiss, sometimes recorded in 16 bits.
import { between, logBetween } from "../../random.mjs";
import { drawSilence, lineOver, measureSilence, silenceOutcomes } from "./silence.mjs";

export function run(next) {
  const drawn = drawSilence(next, 0.3);
  const made = { ...drawn, bits: next() < 0.2 ? 16 : 0 };
  const overDb = between(next, 20, 95);
  const edgeHz = logBetween(next, 500, 5000);
  const unequal = between(next, 0, 0.2);
  const topHz = next() < 0.5 ? 40 * made.mainsHz : 10_000;
  const first = lineOver(made, 2, overDb);
  const turn = next();
  const lines = [];
  for (let order = 1; order * made.mainsHz <= topHz + 1; order++) {
    const hz = order * made.mainsHz;
    const share = (order % 2 === 0 ? 1 : unequal) / Math.sqrt(1 + (hz / edgeHz) ** 4);
    if (share > 0) lines.push({ order, amplitude: first * share, turn: (order * turn + 0.25) % 1 });
  }
  return silenceOutcomes(made, lines, measureSilence(made, lines, next));
}
