import { toDisplayName } from "../../capture/containers/open-file.js";
import type { Doubt } from "../../doubt.js";
import { formatWhy } from "./word-doubt.js";

/** The words for a path that was recorded more than once: which take counts, and why. */
export function formatTakes(doubt: Extract<Doubt, { code: "several-takes" }>): string {
  const { path, count, chosen, number, file, worse } = doubt;
  const times = `${path}: was recorded ${count} times`;
  const it =
    file === undefined ? `take ${number} counts` : `the one in ${toDisplayName(file)} counts`;
  if (chosen === "asked") return `${times}; ${it}, as asked.`;
  if (chosen === "latest") return `${times}; ${file === undefined ? "the last one counts" : it}.`;
  return `${times}; ${it}, because take ${worse?.number} is worse: ${formatWhy(worse ?? {})}.`;
}
