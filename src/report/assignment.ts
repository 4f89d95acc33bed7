import { toDisplayName } from "../capture/containers/open-file.js";
import type { Assignment, SignalSpan } from "../capture/types.js";
import { formatCount } from "../text/format-count.js";
import { formatList } from "../text/format-list.js";
import { groupBy } from "../text/group-by.js";
import { wrapText } from "./wrap.js";

const words: Readonly<Record<Assignment["by"], string>> = {
  name: "by its name",
  order: "in order",
  output: "by their outputs",
  channel: "by channel",
  map: "by the map",
};

/** No more captures than this are listed individually. */
const mostFiles = 8;

/** Which paths each capture was assigned to, one line each; printed before anything is measured. */
export function renderAssignment(
  assignments: readonly Assignment<SignalSpan>[],
  width: number,
): string {
  const files = [...groupBy(assignments, ({ return: { file } }) => file)];
  const told = files.length > mostFiles ? files.slice(0, mostFiles - 1) : files;
  const lines = told.flatMap(([file, own]) => {
    const how = formatList([...new Set(own.map(({ by }) => words[by]))]);
    return wrapText(
      `${toDisplayName(file)}: ${pathWords(own.map(({ path }) => path))}, ${how}`,
      width,
      "  ",
      "    ",
    );
  });
  const rest = files.slice(told.length);
  if (rest.length > 0) {
    const paths = rest.flatMap(([, own]) => own.map(({ path }) => path));
    lines.push(
      ...wrapText(
        `${formatCount(rest.length, "more recording")}: ${pathWords(paths)}`,
        width,
        "  ",
        "    ",
      ),
    );
  }
  return ["Assigned to:", ...lines].join("\n");
}

function pathWords(paths: readonly string[]): string {
  const [first] = paths;
  const last = paths.at(-1);
  // The reference path, which has no slash in its name, is listed apart from the paths in between.
  if (paths.length > 2 && !first.includes("/") && last === first) {
    return `${first} first and last, between them ${pathWords(paths.slice(1, -1))}`;
  }
  if (paths.length > 1 && !first.includes("/") && paths[1].includes("/")) {
    return `${first} first, then ${pathWords(paths.slice(1))}`;
  }
  if (paths.length > 1 && last !== undefined && !last.includes("/") && first.includes("/")) {
    return `${pathWords(paths.slice(0, -1))}, ${last} last`;
  }
  if (paths.length > 1 && paths.every((path) => path === first)) {
    return `${formatCount(paths.length, "take")} of ${first}`;
  }
  const times = paths.filter((path) => path === first).length;
  const period = paths.length / times;
  if (times > 1 && paths.every((path, k) => path === paths[k % period])) {
    return `${formatCount(times, "take")} each of ${rangeWords(paths.slice(0, period), "path")}`;
  }
  return rangeWords(paths, "return");
}

function rangeWords(paths: readonly string[], what: "return" | "path"): string {
  if (paths.length < 4) return paths.join(", ");
  return `${formatCount(paths.length, what)}, ${paths[0]} to ${paths.at(-1)}`;
}
