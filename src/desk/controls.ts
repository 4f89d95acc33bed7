import { validateLine } from "./names.js";
import type { DeskControl, DeskInput } from "./types.js";

/** More than any strip has to test; each adds its windows to the controls pass. */
export const maxControls = 40;
/** Longest words for how a control is set: a line of the sheet holds a few of them. */
export const maxSettingLength = 40;
const longestName = 24;

/** What a strip has where the desk file names no controls (common practice). */
export const defaultControls: readonly DeskControl[] = [
  { name: "gain", kind: "knob" },
  { name: "low cut", kind: "switch", set: "out" },
  { name: "equaliser", kind: "switch", set: "out" },
  { name: "pan", kind: "knob", set: "at its mark" },
  { name: "fader", kind: "fader", set: "at its mark" },
];

/** Why a text cannot name a control, or undefined when it can; names stand in lists. */
export function validateControlName(name: string): string | undefined {
  if (name.trim() === "" || name !== name.trim())
    return "the name is empty or has spaces around it";
  const fault = validateLine(name, longestName);
  if (fault !== undefined) return `the name ${fault}`;
  return /[,;:|]/.test(name) ? "a name may hold no , ; : or |" : undefined;
}

/** One control and how it is set. */
export interface Setting {
  readonly control: string;
  /** In the owner's words: "44 dB", "out". */
  readonly to: string;
}

/** How a strip is set for an input: every control of which the desk file says so. */
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
 * Whether a control must be left alone while the interface is connected: phantom power would reach
 * it, and a switched supply thumps.
 */
export function isPhantomControl({ name }: Pick<DeskControl, "name">): boolean {
  return /phantom|\bp48\b|48 ?v\b/i.test(name);
}
