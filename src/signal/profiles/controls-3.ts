import type { ControlsTiming } from "./control-window.js";
import type { SignalProfile } from "./types.js";

const timing: ControlsTiming = {
  unmoved: { silenceS: 1.5, toneS: 3.5 },
  window: { countInS: 1.5, toneS: 5, silenceS: 5, endS: 0.5, backS: 2.45 },
};

/**
 * 2 s less for each control and 8 s less before the first: still enough for two strokes
 * during the tone, and two in the silence, by a hand that is two seconds late.
 */
export const controls3: SignalProfile = {
  profile: "controls",
  version: 3,
  code: 5,
  controls: timing,
  build: (table, moves) => table.controls(moves, timing),
};
