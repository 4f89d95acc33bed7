import type { ControlsTiming } from "./control-window.js";
import type { SignalProfile } from "./types.js";

const timing: ControlsTiming = {
  unmoved: { silenceS: 3, toneS: 10 },
  window: { countInS: 1.5, toneS: 6, silenceS: 6, endS: 0.5, backS: 2.45 },
};

/**
 * One window per control, in which it is moved. Version 1 (code 3) had none and did not say what was
 * moved when; its recordings are recognised as those of another version.
 */
export const controls2: SignalProfile = {
  profile: "controls",
  version: 2,
  code: 4,
  controls: timing,
  build: (table, moves) => table.controls(moves, timing),
};
