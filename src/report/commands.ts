import type { Round, RoundPath } from "../history/types.js";
import { getProgramName } from "../text/program-name.js";

/**
 * The command that prints a stored round, or one path of it.
 *
 * @param desk the desk's folder as the user named it; "." needs no option
 */
export function formatShowCommand(
  round: Pick<Round, "id">,
  path: Pick<RoundPath, "path"> | undefined,
  desk: string,
): string {
  return `${getProgramName()} show ${round.id}${path === undefined ? "" : ` ${path.path}`}${formatDeskOption(desk)}`;
}

/** The command that prints the whole worklist of a desk. */
export function formatPlanCommand(desk: string): string {
  return `${getProgramName()} plan${formatDeskOption(desk)}`;
}

/** The command that writes the last round of a desk as a page. */
export function formatReportCommand(desk: string): string {
  return `${getProgramName()} report${formatDeskOption(desk)}`;
}

/** The command that finds which of several strips is too loud. */
export function formatHalveCommand(desk: string): string {
  return `${getProgramName()} halve${formatDeskOption(desk)}`;
}

/** ` --desk "my desk"`; nothing for the folder one stands in. */
export function formatDeskOption(desk: string): string {
  return desk === "." ? "" : ` --desk ${shellWord(desk)}`;
}

/** A word as a shell takes it: in quotes unless it is plain. */
function shellWord(text: string): string {
  if (/^[\p{L}\p{N}_./:+@%-]+$/u.test(text)) return text;
  return `'${text.replaceAll("'", "'\\''")}'`;
}
