import type { Round, RoundPath } from "../history/types.js";
import { leastSiblings } from "../rank/families.js";
import { counted } from "./figures.js";

/** What is to be thought of a path, worst first. */
export type Standing = "service" | "watch" | "setting" | "alike" | "unjudged" | "unmeasured";

/** The paths of each standing, the oddest first. */
export function standings(round: Round): Readonly<Record<Standing, readonly RoundPath[]>> {
  const small = new Set(smallFamilies(round));
  const by: Record<Standing, RoundPath[]> = {
    service: [],
    watch: [],
    setting: [],
    alike: [],
    unjudged: [],
    unmeasured: [],
  };
  for (const path of round.paths) by[standing(path, small)].push(path);
  for (const paths of Object.values(by)) paths.sort((a, b) => b.oddness - a.oddness);
  return by;
}

/** A path's standing: its worst finding, unless its likeliest cause is no fault of the desk. */
function standing(path: RoundPath, small: ReadonlySet<string>): Standing {
  const serious = path.findings.filter((f) => f.severity !== "remark");
  if (serious.length === 0) {
    if (path.status !== "measured") return "unmeasured";
    return small.has(path.family) ? "unjudged" : "alike";
  }
  const first = path.causes[0];
  if (first && first.kind !== "fault") return "setting";
  return serious.some((f) => f.severity === "service") ? "service" : "watch";
}

/** Families of which paths were measured, but too few for siblings to judge one another. */
export function smallFamilies({ paths }: Round): readonly string[] {
  const sizes = new Map<string, number>();
  for (const { family, status } of paths) {
    if (status === "measured") sizes.set(family, (sizes.get(family) ?? 0) + 1);
  }
  return [...sizes].filter(([, size]) => size < leastSiblings).map(([family]) => family);
}

/** The round in one sentence. */
export function verdict(round: Round): string {
  const { service, watch, setting, alike, unjudged, unmeasured } = standings(round);
  const parts: string[] = [];
  if (service.length > 0)
    parts.push(`${these(service, "wants", "want")} service: ${names(service)}`);
  if (watch.length > 0) parts.push(`${counted(watch.length, "path")} to watch: ${names(watch)}`);
  if (setting.length > 0) {
    parts.push(`${these(setting, "looks", "look")} wrongly set or patched: ${names(setting)}`);
  }
  if (alike.length > 0) {
    const all = alike.length === round.paths.length ? "all " : "";
    parts.push(`${all}${these(alike, "is like its siblings", "are like their siblings")}`);
  }
  if (unjudged.length > 0) {
    parts.push(`${counted(unjudged.length, "path")} cannot be judged`);
  }
  if (unmeasured.length > 0) parts.push(`${these(unmeasured, "was", "were")} not measured`);
  return parts.length === 0 ? "Nothing was measured." : `${capital(parts.join("; "))}.`;
}

/** "1 path wants", "2 paths want". */
function these(paths: readonly RoundPath[], one: string, many: string): string {
  return `${counted(paths.length, "path")} ${paths.length === 1 ? one : many}`;
}

const mostNamed = 12;

function names(paths: readonly RoundPath[]): string {
  const shown = paths.slice(0, mostNamed).map(({ path }) => path);
  return paths.length > mostNamed
    ? `${shown.join(", ")} and ${paths.length - mostNamed} more`
    : shown.join(", ");
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
