import { formatPlace } from "../desk/place.js";
import type { AcceptLine, LeftAlone } from "../service/notebook/left-alone.js";
import { formatCommand } from "../text/program-name.js";
import { formatFinding } from "./findings/format-finding.js";

/** "modified in 2031 (n3, M., 2031-03-14, until 2033-12-31)". */
export function formatAcceptance(note: string, { text, who, date, until }: AcceptLine): string {
  const about = [
    note,
    ...(who === undefined ? [] : [who]),
    date.slice(0, 10),
    ...(until === undefined ? [] : [`until ${until}`]),
  ];
  return `${text} (${about.join(", ")})`;
}

/** What is known and left alone in a round, one line for each path, including what counts again. */
export function formatLeftAlone({ path, note, line, state, findings }: LeftAlone): string {
  const what = `${findings.map((one) => formatFinding(one)).join("; ")}: ${formatAcceptance(note, line)}`;
  if (state === "over") {
    return `${path} was left alone until ${line.until} and counts again: ${what}. To extend this: ${formatCommand(`note accept ${path} "…"`)}`;
  }
  return state === "more"
    ? `${path} counts, because more stands out than was accepted: ${what}.`
    : `${path} left alone: ${what}.`;
}

/** What an acceptance in the notebook covers: `left alone: modified in 2031 (noise, level)`. */
export function formatAcceptLine(line: AcceptLine): string {
  const readings = [
    ...new Set(
      line.findings.map(({ path, reading }) =>
        path === formatPlace(line) ? reading : `${path} ${reading}`,
      ),
    ),
  ];
  const until = line.until === undefined ? "" : ` until ${line.until}`;
  return `left alone${until}: ${line.text} (${readings.join(", ")})`;
}
