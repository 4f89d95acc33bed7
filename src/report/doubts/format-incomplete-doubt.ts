import { toDisplayName } from "../../capture/containers/open-file.js";
import type { AssignedBy, Doubt, IncompletePart } from "../../doubt.js";

/** The words for an incomplete return, and what was done with it. */
export function formatIncompleteDoubt(
  doubt: Extract<Doubt, { code: "incomplete-return" }>,
): string {
  const { file, part, path, by, wholeIn } = doubt;
  const what = `${toDisplayName(file)}: ${formatPart(part)}`;
  if (path === undefined || by === undefined) {
    const why = part.missing === "end" ? ", as if broken off and played again" : "";
    return `${what} and was left out${why}.`;
  }
  if (wholeIn === undefined) {
    return `${what}. By ${assignedBy[by]} it is the return of ${path}; if that path was played again afterwards, say with --map which is which.`;
  }
  return `${what} and was left out. By ${assignedBy[by]} it is a return of ${path}, of which ${toDisplayName(wholeIn)} holds a whole one; if it is another path's, say with --map which is which.`;
}

const assignedBy: Readonly<Record<AssignedBy, string>> = {
  name: "its name",
  channel: "its channel",
  output: "its output",
  order: "the order",
  map: "the map",
};

function formatPart(part: IncompletePart): string {
  const at = `${part.atS.toFixed(1)} s`;
  switch (part.missing) {
    case "start":
      return `the return that ends at ${at} has no start`;
    case "middle":
      return `the return that starts at ${at} ${formatMissingMiddle(part)}`;
    case "end":
      return `the return that starts at ${at} has no end`;
  }
}

/** Describes a return that has both markers but not everything in between: "has lost …". */
export function formatMissingMiddle({
  slipS,
  endsIn,
}: Pick<IncompletePart, "slipS" | "endsIn">): string {
  const seconds = `${Math.abs(slipS).toFixed(1)} s`;
  if (slipS > 0) {
    const where = endsIn === undefined ? "" : ` and ends in ${toDisplayName(endsIn)}`;
    return `lasts about ${seconds} longer than the signal${where}`;
  }
  const where = endsIn === undefined ? "" : `, which is in ${toDisplayName(endsIn)}`;
  return `has lost about ${seconds} before its end${where}`;
}
