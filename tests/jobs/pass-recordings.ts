import type { PassForm } from "../../src/desk/passes.js";
import { buildPassSignal } from "../../src/signal/pass-signal.js";
import { addNoise, addReturn } from "../helpers/captures.js";

const rate = 48_000;

/** What comes back of one output: on which channel, how strong; nothing of a gain of 0. */
export interface Heard {
  readonly channel: number;
  readonly gain: number;
}

/**
 * A recording of one pass of the quick signal at 48 kHz; each channel has noise of its own.
 *
 * @param noise r.m.s., full scale 1
 */
export function passChannels(
  form: PassForm,
  channels: number,
  heard: Readonly<Record<number, Heard | readonly Heard[]>>,
  outputs = Math.max(...Object.keys(heard).map(Number)),
  seed = 1,
  noise = 1e-5,
): Float64Array[] {
  const used = Array.from({ length: outputs }, () => true);
  const pass = buildPassSignal("quick", "base", used, form);
  const out = Array.from(
    { length: channels },
    () => new Float64Array(Math.ceil((pass.lengthS + 2) * rate)),
  );
  for (const turn of pass.outputs) {
    if (turn === undefined) continue;
    const own = heard[turn.output] ?? [];
    for (const { channel, gain } of Array.isArray(own) ? own : [own]) {
      addReturn(out[channel], turn.table, rate, (turn.startS + 0.7) * rate, 20, gain);
    }
  }
  out.forEach((channel, k) => {
    addNoise(channel, noise, 10 * seed + k);
  });
  return out;
}
