import { wornControl } from "../../diagnose/causes/worn-control.js";
import { wornGainControl } from "../../diagnose/causes/worn-gain-control.js";
import { findControl } from "../../diagnose/notes/read-by-rules.js";
import type { RoundControl } from "../../history/types.js";
import type { ItemFact, ItemName } from "./plan-data.js";

/** A control that wants care, as the latest controls pass of its path heard it. */
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

/** Items of other controls than the gain's are named after theirs. */
const controlPrefix = "control-";

/** The control of the gain is known among the causes; another has its own name. */
export function formatControlCause(control: string): string {
  return findControl(control) === "gain"
    ? wornGainControl.id
    : `${controlPrefix}${control.trim().toLowerCase().replace(/\s+/g, "-")}`;
}

/** Whether the cause of an item is a control that is no cause of its own. */
export function isControlCause(cause: string): boolean {
  return cause.startsWith(controlPrefix) || cause === wornControl.id;
}

/** The control that the cause of an item is, as it is called; undefined for any other cause. */
export function getControlOfCause(cause: string): string | undefined {
  if (cause === wornGainControl.id) return "gain";
  return cause.startsWith(controlPrefix) ? cause.slice(controlPrefix.length) : undefined;
}

/** The name of an item for a control that wants cleaning. */
export function nameHeard({ control, hand }: RoundControl): ItemName {
  return { code: "heard-control", control, hand };
}

/** What the pass heard of it. */
export function listHeard({ pass, path, report }: FaultyControl): readonly ItemFact[] {
  const { points } = report;
  return [
    { code: "heard", pass, path, report },
    ...(points === undefined ? [] : [{ code: "heard-points", points } as const]),
  ];
}
