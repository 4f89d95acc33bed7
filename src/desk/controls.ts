import { validateLine } from "./names.js";
import type { DeskControl, DeskInput } from "./types.js";

/** More controls than any strip has; each adds windows to the controls pass. */
export const maxControls = 40;
/** Characters; a line of the run sheet must hold several settings. */
export const maxSettingLength = 40;
const longestName = 24;

/** Controls of a strip if the desk file names none (common practice, no source). */
export const defaultControls: readonly DeskControl[] = [
  { name: "gain", kind: "knob" },
  { name: "low cut", kind: "switch", set: "out" },
  { name: "equaliser", kind: "switch", set: "out" },
  { name: "pan", kind: "knob", set: "at its mark" },
  { name: "fader", kind: "fader", set: "at its mark" },
];

/** Why a text cannot name a control, or undefined if it can; names appear in lists. */
export function validateControlName(name: string): string | undefined {
  if (name.trim() === "" || name !== name.trim())
    return "the name is empty or has spaces around it";
  const fault = validateLine(name, longestName);
  if (fault !== undefined) return `the name ${fault}`;
  return /[,;:|]/.test(name) ? "a name may hold no , ; : or |" : undefined;
}

/** A control and its setting. */
export interface Setting {
  readonly control: string;
  /** In the owner's words: "44 dB", "out". */
  readonly to: string;
}

/** Settings of a strip for an input: every control with one in the desk file. */
export function listSettings(
  controls: readonly DeskControl[],
  { set = {} }: Pick<DeskInput, "set">,
): readonly Setting[] {
  return controls.flatMap(({ name, set: usual }) => {
    const to = set[name] ?? usual;
    return to === undefined ? [] : [{ control: name, to }];
  });
}

/**
 * Whether a control switches phantom power. It must not be moved while the interface is connected:
 * the voltage would reach the interface, and switching it thumps.
 */
export function isPhantomControl({ name }: Pick<DeskControl, "name">): boolean {
  return /phantom|\bp48\b|48 ?v\b/i.test(name);
}
