import { driedCapacitor } from "./causes/dried-capacitor.js";
import { earlyClipping } from "./causes/early-clipping.js";
import { equaliserLeftIn } from "./causes/equaliser-left-in.js";
import { gainOff } from "./causes/gain-off.js";
import { highLoss } from "./causes/high-loss.js";
import { humPickup } from "./causes/hum-pickup.js";
import { lowCutLeftIn } from "./causes/low-cut-left-in.js";
import { noSignal } from "./causes/no-signal.js";
import { noisyDevice } from "./causes/noisy-device.js";
import { openLeg } from "./causes/open-leg.js";
import { polarityReversed } from "./causes/polarity-reversed.js";
import type { CauseKind } from "./kind.js";

/** Every cause there is. */
export const causeKinds: readonly CauseKind[] = [
  noSignal,
  polarityReversed,
  openLeg,
  driedCapacitor,
  lowCutLeftIn,
  equaliserLeftIn,
  highLoss,
  noisyDevice,
  humPickup,
  earlyClipping,
  gainOff,
];
