import type { ControlWear } from "../measure/controls/types.js";

const words: Readonly<Record<ControlWear, string>> = {
  leak: "crackles without a signal: DC voltage on it, e.g. from a leaky coupling capacitor upstream; measure the DC across it, and clean it",
  contact: "dirty or worn switch contact: clean it, then press it again",
  track: "dirty or worn track: clean it, and replace it if that does not last",
};

/** What the wear of a control points to. */
export function formatControlWear(wear: ControlWear): string {
  return words[wear];
}
