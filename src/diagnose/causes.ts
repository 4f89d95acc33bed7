import type { CauseKind, CauseWords } from "./cause-kind.js";
import { crossoverDistortion } from "./causes/crossover-distortion.js";
import { dirtyContact } from "./causes/dirty-contact.js";
import { driedCouplingCapacitor } from "./causes/dried-coupling-capacitor.js";
import { driedGainLegCapacitor } from "./causes/dried-gain-leg-capacitor.js";
import { earlyClipping } from "./causes/early-clipping.js";
import { equaliserLeftIn } from "./causes/equaliser-left-in.js";
import { gainOff } from "./causes/gain-off.js";
import { groundHum } from "./causes/ground-hum.js";
import { highLoss } from "./causes/high-loss.js";
import { leakyCapacitor } from "./causes/leaky-capacitor.js";
import { lowCutLeftIn } from "./causes/low-cut-left-in.js";
import { noSignal } from "./causes/no-signal.js";
import { noisyDevice } from "./causes/noisy-device.js";
import { nothingPatched } from "./causes/nothing-patched.js";
import { openLeg } from "./causes/open-leg.js";
import { oscillation } from "./causes/oscillation.js";
import { padIn } from "./causes/pad-in.js";
import { polarityReversed } from "./causes/polarity-reversed.js";
import { supplyRipple } from "./causes/supply-ripple.js";
import { takesSwapped } from "./causes/takes-swapped.js";
import { wornGainControl } from "./causes/worn-gain-control.js";
import { wrongPathRecorded } from "./causes/wrong-path-recorded.js";

/** Every cause that readings tell; adding one is a file in causes/ and a line here. */
export const causeKinds: readonly CauseKind[] = [
  noSignal,
  openLeg,
  gainOff,
  padIn,
  wornGainControl,
  dirtyContact,
  crossoverDistortion,
  driedCouplingCapacitor,
  driedGainLegCapacitor,
  lowCutLeftIn,
  equaliserLeftIn,
  highLoss,
  noisyDevice,
  groundHum,
  supplyRipple,
  earlyClipping,
  oscillation,
  leakyCapacitor,
  polarityReversed,
  wrongPathRecorded,
];

/** Every cause there is: also those that silence, or two paths together, tell. */
export const knownCauses: readonly CauseWords[] = [...causeKinds, nothingPatched, takesSwapped];

/** A cause in words of the trade; its id where it has none. */
export function getCauseName(id: string): string {
  return knownCauses.find((cause) => cause.id === id)?.name ?? id;
}
