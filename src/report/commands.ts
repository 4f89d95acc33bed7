import type { Round, RoundPath } from "../history/types.js";

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
  const where = desk === "." ? "" : ` --desk ${shellWord(desk)}`;
  return `deskround show ${round.id}${path === undefined ? "" : ` ${path.path}`}${where}`;
}

/** The command that prints the whole worklist of a desk. */
export function formatPlanCommand(desk: string): string {
  return `deskround plan${desk === "." ? "" : ` --desk ${shellWord(desk)}`}`;
}

/** A word as a shell takes it: in quotes unless it is plain. */
function shellWord(text: string): string {
  if (/^[\p{L}\p{N}_./:+@%-]+$/u.test(text)) return text;
  return `'${text.replaceAll("'", "'\\''")}'`;
}
