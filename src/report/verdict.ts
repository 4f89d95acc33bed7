import { isOrderDoubt } from "../doubt.js";
import { groupByStanding } from "../history/standing.js";
import type { Round, RoundPath } from "../history/types.js";
import { capitalize } from "../text/capitalize.js";
import { formatCount } from "../text/format-count.js";
import { formatSumName } from "./format-sum-name.js";
import { formatSharedFault } from "./shared/format-shared.js";

/** The round in one sentence, preceded by a sentence about shared faults if there are any. */
export function formatVerdict(round: Round): string {
  const inDoubt = round.doubts?.some(isOrderDoubt) ?? false;
  const found = formatFound(round);
  return inDoubt
    ? `Which path each return belongs to is in doubt, and so is everything that follows. ${found}`
    : found;
}

/**
 * Readings of several strips together that are too high: until the cause is found, no strip of the
 * group is in order.
 */
function formatSums({ sums = [] }: Round): string | undefined {
  const high = sums.filter(({ verdict }) => verdict === "too-high");
  if (high.length === 0) return undefined;
  const told = high.slice(0, mostSums).map(formatSumName);
  const more = high.length > mostSums ? `; ${high.length - mostSums} more` : "";
  return `Too high: ${told.join("; ")}${more} (see below).`;
}

const mostSums = 3;

function formatFound(round: Round): string {
  const sums = formatSums(round);
  const alone = formatOwnVerdict(round);
  const own =
    sums === undefined
      ? alone
      : `${sums} Apart from that: ${alone.charAt(0).toLowerCase()}${alone.slice(1)}`;
  const { shared = [] } = round;
  if (shared.length === 0) return own;
  const [head, rest] =
    shared.length === 1
      ? ["Shared by several paths", ""]
      : [`${shared.length} faults shared by several paths`, " Apart from these"];
  const told = shared.map(formatSharedFault).join("; ");
  return `${head}: ${told}.${rest === "" ? " Apart from that" : rest}: ${own.charAt(0).toLowerCase()}${own.slice(1)}`;
}

function formatOwnVerdict(round: Round): string {
  const { service, watch, setting, alike, unjudged, unmeasured } = groupByStanding(round);
  const parts: string[] = [];
  if (service.length > 0)
    parts.push(`${these(service, "needs", "need")} service: ${names(service)}`);
  if (watch.length > 0)
    parts.push(`${formatCount(watch.length, "path")} to watch: ${names(watch)}`);
  if (setting.length > 0) {
    parts.push(`${these(setting, "looks", "look")} wrongly set or patched: ${names(setting)}`);
  }
  if (alike.length > 0) {
    const all = alike.length === round.paths.length ? "all " : "";
    parts.push(`${all}${these(alike, "is like its siblings", "are like their siblings")}`);
  }
  if (unjudged.length > 0) {
    parts.push(`${formatCount(unjudged.length, "path")} cannot be judged`);
  }
  if (unmeasured.length > 0) parts.push(`${these(unmeasured, "was", "were")} not measured`);
  return parts.length === 0 ? "Nothing was measured." : `${capitalize(parts.join("; "))}.`;
}

/** "1 path needs", "2 paths need". */
function these(paths: readonly RoundPath[], one: string, many: string): string {
  return `${formatCount(paths.length, "path")} ${paths.length === 1 ? one : many}`;
}

const mostNamed = 12;

function names(paths: readonly RoundPath[]): string {
  const shown = paths.slice(0, mostNamed).map(({ path }) => path);
  return paths.length > mostNamed
    ? `${shown.join(", ")} and ${paths.length - mostNamed} more`
    : shown.join(", ");
}
