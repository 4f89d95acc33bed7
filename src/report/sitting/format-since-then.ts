import type { PathComparison, PathState } from "../../history/compare/types.js";
import type { SinceThen } from "../../history/last-good-day.js";
import type { Round } from "../../history/types.js";
import { formatCount } from "../../text/format-count.js";
import { formatList } from "../../text/format-list.js";
import { formatCommand } from "../../text/program-name.js";
import { formatLargestChange, formatShifts } from "../comparison.js";
import { sanitizeLine } from "../sanitize.js";
import type { ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";

/**
 * A short sitting in one sentence: as on the last good day, or what changed since. A change common
 * to all its paths follows in a second sentence.
 */
export function formatSinceThen({ day, comparison }: SinceThen): string {
  const { earlier, paths, shifts } = comparison;
  const date = earlier.date.slice(0, 10);
  const then = day === "good" ? `${date}, the last good day` : date;
  const of = (state: PathState) => paths.filter((path) => path.state === state);
  const changed = changes.flatMap(({ state, words }) =>
    of(state).map((path) => `${path.path} ${words(path)}`),
  );
  const still = of("fault-still");
  const lacking = of("no-partner");
  const same = paths.length - changed.length - lacking.length - still.length;
  const rest = [
    ...(still.length === 0 ? [] : [`${formatList(still.map(named))} still as faulty as then`]),
    ...(lacking.length === 0
      ? []
      : [`${formatList(lacking.map(({ path }) => path))} not measured, so nothing is known about`]),
  ];
  const first =
    changed.length > 0
      ? [
          `Changed since ${then}: ${changed.join("; ")}`,
          ...(same > 0 ? [`${formatCount(same, "other path")} without a significant change`] : []),
        ]
      : same + still.length > 0
        ? [`As on ${then}: no significant change on ${formatCount(same + still.length, "path")}`]
        : [`Nothing can be compared with ${then}`];
  return [`${[...first, ...rest].join("; ")}.`, ...formatShifts(shifts)].join(" ");
}

/** The end of a short sitting: its sentence, then how to see everything. */
export function renderShortSitting(
  since: SinceThen,
  round: Pick<Round, "id">,
  style: ReportStyle,
): string {
  const width = Math.min(style.width, 100);
  const lines = [formatSinceThen(since), `All of it: ${formatCommand(`show ${round.id}`)}`];
  return lines.flatMap((line) => wrapText(sanitizeLine(line), width)).join("\n");
}

const changes: readonly {
  readonly state: PathState;
  readonly words: (path: PathComparison) => string;
}[] = [
  { state: "new-fault", words: (path) => `has a new fault${details(path)}` },
  { state: "other-fault", words: (path) => `has a different fault${details(path)}` },
  { state: "set-wrong", words: (path) => `is set differently${details(path)}` },
  {
    state: "unsure",
    words: () => "stands out on one of the two days only, without a significant change",
  },
  { state: "drift", words: (path) => `got worse${details(path)}` },
  { state: "fault-gone", words: () => "has lost its fault" },
  { state: "set-right", words: () => "is set correctly again" },
  { state: "better", words: (path) => `got better${details(path)}` },
];

/** The most likely cause and the largest change. */
function details(path: PathComparison): string {
  const words = [path.later?.causeName, formatLargestChange(path)].filter(
    (one) => one !== undefined,
  );
  return words.length === 0 ? "" : ` (${words.join(", ")})`;
}

function named({ path, later }: PathComparison): string {
  return later?.causeName === undefined ? path : `${path} (${later.causeName})`;
}
