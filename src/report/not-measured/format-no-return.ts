import type { CutShort, Heard } from "../../not-measured.js";
import { formatHeard } from "./format-heard.js";
import { formatCutShort } from "./heard-advice.js";

/**
 * Says that a file holds no return, and why; that it was cut short comes before what is left of it.
 */
export function formatNoReturn(
  name: string,
  { heard, cut }: { readonly heard: Heard; readonly cut?: CutShort },
): string {
  return cut === undefined
    ? `${name}: no return was found; what was heard is ${formatHeard(heard)}.`
    : `${name}: was cut short while recording or copying: it holds ${formatCutShort(cut)} that its header promises, and no whole return. What it holds is ${formatHeard(heard)}.`;
}
