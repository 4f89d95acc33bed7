import type { ControlWear } from "../measure/controls/types.js";

const words: Readonly<Record<ControlWear, string>> = {
  leak: "crackles without a signal: DC voltage on it, as from a leaky coupling capacitor before it; measure the DC across it, and clean it",
  contact: "dirty or worn switch contact: clean it, then press it again",
  track: "dirty or worn track: clean it, and replace it if that does not last",
};

/** What a control that is not sound points to. */
export function formatControlWear(wear: ControlWear): string {
  return words[wear];
}
