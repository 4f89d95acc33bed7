import type { Round, RoundPath } from "../history/types.js";
import { leastSiblings } from "../rank/families.js";
import type { Finding } from "../rank/types.js";
import { counted } from "./figures.js";
import { palette, type ReportStyle } from "./style.js";
import { textTable } from "./table.js";
import { pathsBy, type Standing, standing, verdict } from "./verdict.js";
import { wrap } from "./wrap.js";

export { renderPath } from "./path.js";
export type { ReportStyle } from "./style.js";

/** A round as plain text: verdict, what is missing, the odd paths with causes, doubts. */
export function renderRound(round: Round, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = palette(style);
  return [
    strong(`${round.desk.name}, round ${round.id}`),
    "",
    ...wrap(verdict(round), width).map((line) => strong(line)),
    "",
    ...measuredLines(round, width),
    ...oddLines(round, { ...style, width }),
    ...smallFamilyLines(round, width),
    ...doubtLines(round, { ...style, width }),
    "",
  ].join("\n");
}

function measuredLines(round: Round, width: number): readonly string[] {
  const { signal, paths, captures } = round;
  const measured = paths.filter(({ status }) => status === "measured").length;
  const how = `${signal.profile} signal, ${signal.sampleRate / 1000} kHz, ${counted(captures.length, "capture")}`;
  const lines = [
    ...wrap(
      `${measured} of ${counted(paths.length, "path")} measured (${how}; levels in dBFS, as nothing is calibrated).`,
      width,
    ),
  ];
  const missing = paths.filter(({ status }) => status === "missing").map(({ path }) => path);
  if (missing.length > 0) lines.push(...wrap(missing.join(", "), width, "Missing: ", "  "));
  for (const path of paths) {
    if (path.status !== "unusable" || standing(path) !== "unmeasured") continue;
    lines.push(...wrap(`${path.path}: ${path.reason ?? "unknown"}`, width, "Unusable: ", "  "));
  }
  return lines;
}

const signs: Readonly<Record<Standing, string>> = {
  service: "service",
  watch: "watch",
  setting: "setting",
  alike: "",
  unmeasured: "",
};

function oddLines(round: Round, style: ReportStyle): readonly string[] {
  const odd = (["service", "watch", "setting"] as const).flatMap((s) => [...pathsBy(round, s)]);
  odd.sort((a, b) => b.oddness - a.oddness);
  if (odd.length === 0) return [];
  const colours = palette(style);
  const causeWidth = Math.floor((style.width - 28) * 0.42);
  const columns = [
    { head: "path", width: 10 },
    { head: "", width: 9 },
    { head: "oddness", width: 9 },
    { head: "what stands out", width: style.width - 28 - causeWidth },
    { head: "likely cause", width: causeWidth },
  ];
  const rows = odd.map((path) => [
    path.path,
    signs[standing(path)],
    path.oddness.toFixed(0),
    findingLines(path).join("\n"),
    path.causes[0]?.name ?? "not clear from the readings",
  ]);
  const table = textTable(columns, rows)
    .split("\n")
    .map((line, i) => (i === 0 ? colours.quiet(line) : coloured(line, colours)));
  const others = round.paths.filter((p) => p.rank !== undefined && !odd.includes(p));
  const most = Math.max(0, ...others.map(({ oddness }) => oddness));
  const rest =
    others.length === 0
      ? []
      : [colours.quiet(`The other ${others.length} measured: oddness ${most.toFixed(0)} at most.`)];
  return ["", ...table, ...rest, "", `deskround show ${odd[0].path} prints one path in full.`];
}

function coloured(line: string, colours: ReturnType<typeof palette>): string {
  return line
    .replace(/^(\S+\s+)service\b/, (_, path: string) => `${path}${colours.bad("service")}`)
    .replace(/^(\S+\s+)watch\b/, (_, path: string) => `${path}${colours.doubt("watch")}`)
    .replace(/^(\S+\s+)setting\b/, (_, path: string) => `${path}${colours.doubt("setting")}`);
}

const mostFindings = 4;

function findingLines({ findings }: RoundPath): readonly string[] {
  const serious = findings.filter((f) => f.severity !== "remark");
  return serious.slice(0, mostFindings).map(short);
}

/** The table's head says against whom: the words "its siblings" need not stand in every row. */
function short({ words }: Finding): string {
  return words.replace(/ (above|below) its siblings/, " $1 siblings");
}

function smallFamilyLines(round: Round, width: number): readonly string[] {
  const sizes = new Map<string, number>();
  for (const { family, status } of round.paths) {
    if (status === "measured") sizes.set(family, (sizes.get(family) ?? 0) + 1);
  }
  const small = [...sizes].filter(([, size]) => size < leastSiblings).map(([family]) => family);
  if (small.length === 0) return [];
  const text = `Fewer than ${leastSiblings} paths were measured of ${small.join(", ")}: siblings cannot judge them.`;
  return ["", ...wrap(text, width)];
}

function doubtLines(round: Round, style: ReportStyle): readonly string[] {
  if (round.warnings.length === 0) return [];
  const { doubt } = palette(style);
  const lines = round.warnings.flatMap((w) => wrap(w, style.width, "  - ", "    "));
  return ["", doubt("Doubts"), ...lines];
}
