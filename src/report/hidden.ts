import type { Round } from "../history/types.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";

/** A virtual desk's round and what was wrong with the desk. */
export interface HiddenInRound {
  readonly round: Round;
  readonly folder: string;
  readonly hidden: readonly { path: string; what: string; component: string }[];
  /** The round's page. */
  readonly report: string;
}

/** What the demo hid and what was found, path by path. */
export function renderHidden(
  { round, hidden, folder, report }: HiddenInRound,
  style: ReportStyle,
): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const rows = hidden.map(({ path, what, component }) => {
    const found = round.paths.find((p) => p.path === path);
    const rank = found?.rank === undefined ? "–" : String(found.rank);
    return [path, `${what} (${component})`, rank, found?.causes[0]?.name ?? "nothing named"];
  });
  const wide = Math.floor((width - 18) / 2);
  const columns = [
    { head: "path", width: 10 },
    { head: "what was hidden", width: width - 18 - wide },
    { head: "ranked", width: 8 },
    { head: "what was found", width: wide },
  ];
  const inTop = hidden.filter(({ path }) => {
    const rank = round.paths.find((p) => p.path === path)?.rank;
    return rank !== undefined && rank <= hidden.length;
  }).length;
  return [
    "",
    strong(
      `Hidden in the virtual desk: ${inTop} of ${hidden.length} are among the ${hidden.length} oddest`,
    ),
    renderTable(columns, rows),
    "",
    `The recordings, the signal and the round are in ${folder}.`,
    `Its report, to look at in a browser: ${report}`,
    "",
  ].join("\n");
}
