import type { Round, RoundPath } from "../history/types.js";
import { counted } from "./figures.js";

/** What is to be thought of a path, worst first. */
export type Standing = "service" | "watch" | "setting" | "alike" | "unmeasured";

/** A path's standing: its worst finding, unless its likeliest cause is no fault of the desk. */
export function standing(path: RoundPath): Standing {
  const serious = path.findings.filter((f) => f.severity !== "remark");
  if (serious.length === 0) return path.status === "measured" ? "alike" : "unmeasured";
  const first = path.causes[0];
  if (first && first.kind !== "fault") return "setting";
  return serious.some((f) => f.severity === "service") ? "service" : "watch";
}

/** The paths of a standing, the oddest first. */
export function pathsBy(round: Round, wanted: Standing): readonly RoundPath[] {
  return round.paths
    .filter((path) => standing(path) === wanted)
    .sort((a, b) => b.oddness - a.oddness);
}

/** The round in one sentence. */
export function verdict(round: Round): string {
  const service = pathsBy(round, "service");
  const watch = pathsBy(round, "watch");
  const setting = pathsBy(round, "setting");
  const alike = pathsBy(round, "alike").length;
  const parts: string[] = [];
  if (service.length > 0) parts.push(`${want(service.length)} service: ${names(service)}`);
  if (watch.length > 0) parts.push(`${counted(watch.length, "path")} to watch: ${names(watch)}`);
  if (setting.length > 0) {
    parts.push(`${counted(setting.length, "path")} look wrongly set or patched: ${names(setting)}`);
  }
  const rest = `${counted(alike, "path")} measured ${alike === 1 ? "is" : "are"} like ${alike === 1 ? "its" : "their"} siblings`;
  if (parts.length === 0) return alike === 0 ? "Nothing could be judged." : `${capital(rest)}.`;
  return `${capital([...parts, rest].join("; "))}.`;
}

function want(count: number): string {
  return count === 1 ? "1 path wants" : `${count} paths want`;
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
