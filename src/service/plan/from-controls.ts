import { wornControl } from "../../diagnose/causes/worn-control.js";
import { wornGainControl } from "../../diagnose/causes/worn-gain-control.js";
import { findControl } from "../../diagnose/notes/read-by-rules.js";
import type { RoundControl } from "../../history/types.js";
import type { ItemFact, ItemName } from "./plan-data.js";

/** A control that needs attention, by the latest controls pass of its path. */
export interface FaultyControl {
  /** Id of the pass. */
  readonly pass: string;
  /** When it was made, ISO 8601. */
  readonly date: string;
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly report: RoundControl;
}

/** Prefix of items for controls other than gain. */
const controlPrefix = "control-";

/**
 * The cause of an item for a control: the gain control has one among the causes; others are named
 * after the control.
 */
export function formatControlCause(control: string): string {
  return findControl(control) === "gain"
    ? wornGainControl.id
    : `${controlPrefix}${control.trim().toLowerCase().replace(/\s+/g, "-")}`;
}

/** Whether the cause of an item is named after a control. */
export function isControlCause(cause: string): boolean {
  return cause.startsWith(controlPrefix) || cause === wornControl.id;
}

/** The name of the control in an item's cause; undefined for any other cause. */
export function getControlOfCause(cause: string): string | undefined {
  if (cause === wornGainControl.id) return "gain";
  return cause.startsWith(controlPrefix) ? cause.slice(controlPrefix.length) : undefined;
}

/** The name of an item for a control that needs cleaning. */
export function nameHeard({ control, hand }: RoundControl): ItemName {
  return { code: "heard-control", control, hand };
}

/** Results of the pass for it. */
export function listHeard({ pass, path, report }: FaultyControl): readonly ItemFact[] {
  const { points } = report;
  return [
    { code: "heard", pass, path, report },
    ...(points === undefined ? [] : [{ code: "heard-points", points } as const]),
  ];
}
