import { wornControl } from "../../diagnose/causes/worn-control.js";
import { wornGainControl } from "../../diagnose/causes/worn-gain-control.js";
import { findControl } from "../../diagnose/notes/read-note.js";
import type { RoundControl } from "../../history/types.js";

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
export function formatControlItem({ control, hand }: RoundControl): string {
  return `dirty or worn ${hand === "press" ? "switch" : "control"}: ${control}`;
}

/** What the pass heard of it, in words. */
export function formatControlEvidence({ pass, path, report }: FaultyControl): readonly string[] {
  const { control, verdicts, dropouts, jumps, scratches, points } = report;
  const counts = [
    ...(dropouts > 0 ? [`${dropouts} × dropout`] : []),
    ...(jumps > 0 ? [`${jumps} × jump`] : []),
    ...(scratches.tone > 0 ? [`${scratches.tone} × scratch`] : []),
    ...(scratches.silence > 0 ? [`${scratches.silence} × scratch in silence`] : []),
  ];
  const heard = counts.length === 0 ? "" : `, ${counts.join(", ")}`;
  return [
    `${path} ${control}: ${verdicts.join(", ")}${heard} (controls pass ${pass})`,
    ...(points === undefined ? [] : [`points to: ${points}`]),
  ];
}
