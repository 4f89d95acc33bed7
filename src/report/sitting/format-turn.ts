import type { Turn } from "../../sitting/sitting-events.js";
import { formatLevel, formatPad } from "../sheet/phrases.js";

/** The path whose turn it is: what to plug where, then what to set. */
export function formatTurn({ path, done, wanted, patch }: Turn): readonly string[] {
  const pad = formatPad(patch);
  const set = patch.settings
    .filter(({ move }) => move === "set")
    .map(({ control, to }) => `${control}: ${to}`);
  return [
    `Next ${path} (${done + 1} of ${wanted}): ${patch.plug}, ${formatLevel(patch)}${pad === "" ? "" : `, ${pad}`}`,
    ...(set.length === 0 ? [] : [`set ${set.join("; ")}`]),
  ];
}
