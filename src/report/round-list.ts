import type { Standing } from "../history/standing.js";
import type { SharedPart } from "../rank/shared/types.js";
import { formatCount } from "../text/format-count.js";
import { formatSumName } from "./format-sum-name.js";
import { formatSharedPart } from "./shared/format-shared.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

/** A round in a list. */
export interface ListedRound {
  readonly id: string;
  readonly measured: number;
  readonly paths: number;
  readonly partial?: true;
  readonly verdict: Readonly<Partial<Record<Standing, readonly string[]>>>;
  readonly shared?: readonly { readonly part: SharedPart }[];
  readonly tooHigh?: readonly { readonly paths: readonly string[]; readonly reading: string }[];
  readonly damaged?: string;
  readonly withdrawn?: { readonly date: string; readonly because: string };
}

/** The stored rounds, oldest first, followed by what is wrong with those that cannot be read. */
export function renderRoundList(rounds: readonly ListedRound[], style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { bad } = createPalette(style);
  const columns = [
    { head: "round", width: 17 },
    { head: "measured", width: 18 },
    { head: "verdict", width: width - 35 },
  ];
  const rows = rounds.map((round) => [
    round.id,
    round.damaged === undefined ? completeness(round) : "",
    round.withdrawn !== undefined
      ? `withdrawn ${round.withdrawn.date.slice(0, 10)}: ${round.withdrawn.because}`
      : round.damaged === undefined
        ? verdictWords(round)
        : "cannot be read",
  ]);
  const damaged = rounds.flatMap((round) => round.damaged ?? []);
  return [
    renderTable(columns, rows),
    ...(damaged.length === 0 ? [] : [""]),
    ...damaged.flatMap((text) => wrapText(text, width, "", "  ").map((line) => bad(line))),
  ].join("\n");
}

function completeness({ measured, paths, partial }: ListedRound): string {
  const all = measured === paths ? `all ${paths}` : `${measured} of ${paths}`;
  return partial ? `${all} asked for` : all;
}

const mostNamed = 4;

function verdictWords({ verdict, shared = [], tooHigh = [] }: ListedRound): string {
  const [first] = shared;
  const [sum] = tooHigh;
  const inCommon = [
    ...(first === undefined ? [] : [`shared: ${formatSharedPart(first.part)}`]),
    ...(sum === undefined ? [] : [`too high: ${formatSumName(sum)}`]),
  ];
  const parts = (
    [
      ["service", "for service"],
      ["watch", "to watch"],
      ["setting", "set wrongly"],
    ] as const
  ).flatMap(([standing, words]) => {
    const own = verdict[standing] ?? [];
    if (own.length === 0) return [];
    const named = own.length <= mostNamed ? own.join(", ") : formatCount(own.length, "path");
    return [`${words}: ${named}`];
  });
  if (inCommon.length + parts.length > 0) return [...inCommon, ...parts].join("; ");
  return verdict.alike === undefined ? "cannot be judged" : "all alike";
}
