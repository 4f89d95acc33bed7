import { toDisplayName } from "../../capture/containers/open-file.js";
import type { Doubt, SilentGap } from "../../doubt.js";
import { formatClock } from "../../text/format-clock.js";

/** In a file with more gaps than this, long pauses are usual; only the longest are named. */
const maxNamed = 3;

/** The words for pauses in which a signal may have been played without coming back. */
export function formatGaps(doubt: Extract<Doubt, { code: "room-for-a-signal" }>): string {
  const { file, parts, gaps } = doubt;
  const further = parts === "several" ? " and its further parts, counted from its start" : "";
  const name = `${toDisplayName(file)}${further}`;
  if (gaps.length === 1) {
    const [gap] = gaps;
    return `${name}: the pause from ${formatGap(gap)} has room for ${formatRoom(gap)} not heard. ${consequence("there", gap)}`;
  }
  const longest = [...gaps]
    .sort((a, b) => b.untilS - b.fromS - (a.untilS - a.fromS))
    .slice(0, maxNamed)
    .sort((a, b) => a.fromS - b.fromS);
  return `${name}: ${gaps.length} pauses have room for a whole signal that was not heard, the longest from ${longest.map(formatGap).join(", ")}. ${consequence("in one of them", longest[0])}`;
}

function formatRoom({ signals }: SilentGap): string {
  return signals === 1 ? "a whole signal that was" : `${signals} whole signals that were`;
}

function consequence(where: string, { before = "<path>" }: SilentGap): string {
  return `If a path was silent ${where}, all returns after it are assigned to the wrong path: name it, e.g. --silent ${before}.`;
}

function formatGap({ fromS, untilS, before }: SilentGap): string {
  const where = before === undefined ? "" : ` (before ${before})`;
  return `${formatClock(fromS)} to ${formatClock(untilS)}${where}`;
}
