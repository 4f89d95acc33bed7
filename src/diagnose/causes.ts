import { type CauseKind, isPredicted } from "./cause-kind.js";
import { addedSeriesResistance } from "./causes/added-series-resistance.js";
import { componentOffValue } from "./causes/component-off-value.js";
import { crossoverDistortion } from "./causes/crossover-distortion.js";
import { dirtyContact } from "./causes/dirty-contact.js";
import { dirtyInsertNormal } from "./causes/dirty-insert-normal.js";
import { driedCouplingCapacitor } from "./causes/dried-coupling-capacitor.js";
import { driedGainLegCapacitor } from "./causes/dried-gain-leg-capacitor.js";
import { dryJoint } from "./causes/dry-joint.js";
import { earlyClipping } from "./causes/early-clipping.js";
import { equaliserBandFaulty } from "./causes/equaliser-band-faulty.js";
import { equaliserLeftIn } from "./causes/equaliser-left-in.js";
import { feedbackHowl } from "./causes/feedback-howl.js";
import { gainOff } from "./causes/gain-off.js";
import { groundHum } from "./causes/ground-hum.js";
import { highLoss } from "./causes/high-loss.js";
import { leakyCapacitor } from "./causes/leaky-capacitor.js";
import { lowCutLeftIn } from "./causes/low-cut-left-in.js";
import { meterOrLamp } from "./causes/meter-or-lamp.js";
import { muteElement } from "./causes/mute-element.js";
import { noSignal } from "./causes/no-signal.js";
import { noisyDevice } from "./causes/noisy-device.js";
import { noneOfThese } from "./causes/none-of-these.js";
import { nothingPatched } from "./causes/nothing-patched.js";
import { opAmpLatched } from "./causes/op-amp-latched.js";
import { openLeg } from "./causes/open-leg.js";
import { oscillation } from "./causes/oscillation.js";
import { padIn } from "./causes/pad-in.js";
import { passWay } from "./causes/pass-way.js";
import { phantomSags } from "./causes/phantom-sags.js";
import { phantomSupplyHigh } from "./causes/phantom-supply-high.js";
import { phantomSupplyOff } from "./causes/phantom-supply-off.js";
import { pickedUpTone } from "./causes/picked-up-tone.js";
import { polarityReversed } from "./causes/polarity-reversed.js";
import { sendOrPanFaulty } from "./causes/send-or-pan-faulty.js";
import { shortedDecoupler } from "./causes/shorted-decoupler.js";
import { slewing } from "./causes/slewing.js";
import { smoothDistortion } from "./causes/smooth-distortion.js";
import { stuckRecorder } from "./causes/stuck-recorder.js";
import { supplyRailOff } from "./causes/supply-rail-off.js";
import { supplyRipple } from "./causes/supply-ripple.js";
import { takesSwapped } from "./causes/takes-swapped.js";
import { wornControl } from "./causes/worn-control.js";
import { wornGainControl } from "./causes/worn-gain-control.js";
import { wrongFile } from "./causes/wrong-file.js";
import { wrongPathRecorded } from "./causes/wrong-path-recorded.js";
import type { Cause } from "./types.js";

/** All causes. To add one: a file in causes/, its import, and a row here. */
export const causeKinds = [
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
  addedSeriesResistance,
  slewing,
  noisyDevice,
  groundHum,
  pickedUpTone,
  supplyRipple,
  earlyClipping,
  smoothDistortion,
  oscillation,
  feedbackHowl,
  leakyCapacitor,
  polarityReversed,
  wrongPathRecorded,
  nothingPatched,
  stuckRecorder,
  wrongFile,
  takesSwapped,
  passWay,
  phantomSupplyOff,
  phantomSupplyHigh,
  phantomSags,
  supplyRailOff,
  opAmpLatched,
  muteElement,
  equaliserBandFaulty,
  sendOrPanFaulty,
  dirtyInsertNormal,
  dryJoint,
  shortedDecoupler,
  meterOrLamp,
  wornControl,
  componentOffValue,
  noneOfThese,
] as const satisfies readonly CauseKind[];

/** Id of a known cause; rounds may hold other ids, from other versions. */
export type CauseId = (typeof causeKinds)[number]["id"];

/** Causes that a path's readings can show, each with its physics. */
export const predictedCauses = (causeKinds as readonly CauseKind[]).filter(isPredicted);

const byId: ReadonlyMap<string, CauseKind> = new Map(causeKinds.map((kind) => [kind.id, kind]));

/**
 * All that is known of a cause.
 *
 * @returns undefined for an unknown id, e.g. one from another version
 * @example
 * findCause("open-leg")?.kind; // "fault"
 */
export function findCause(id: string): CauseKind | undefined {
  return byId.get(id);
}

/**
 * The name of a cause in words of the trade; its id if the cause is unknown.
 *
 * @example
 * getCauseName("cause-of-another-version"); // "cause-of-another-version"
 */
export function getCauseName(id: string): string {
  return findCause(id)?.name ?? id;
}

/**
 * The fixed part of a cause as it is stored and printed: its words, without evidence.
 *
 * @example
 * describeCause(findCause("open-leg")).cause; // "open-leg"
 */
export function describeCause({
  id,
  name,
  kind,
  settle,
  confusedWith,
  ready,
  care = settle.danger,
}: CauseKind): Omit<Cause, "evidence" | "probability"> {
  return {
    cause: id,
    name,
    kind,
    confirmBy: settle.text,
    ...(confusedWith.length === 0
      ? {}
      : { unlike: confusedWith.map(({ cause, check }) => `${getCauseName(cause)}: ${check}`) }),
    ...(ready === undefined ? {} : { ready }),
    ...(care === undefined ? {} : { care }),
  };
}
