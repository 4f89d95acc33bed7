import { groupBy } from "../../text/group-by.js";
import { sanitizeLine } from "../sanitize.js";
import { formatSharedFault, formatSharedLook } from "../shared/format-shared.js";
import { createPalette } from "../style.js";
import { wrapText, wrapWords } from "../wrap.js";
import {
  formatCountLine,
  formatReasonLines,
  formatTitleLine,
  formatVerdictLine,
  listPathsWith,
  listReasonWords,
} from "./phrases.js";
import type { RenderCheck } from "./render-check.js";
import type { WordedCheck, WordedPathCheck } from "./word-check.js";

/**
 * For people: the verdict, every path that did not pass with its reasons, counts, and the limits
 * not met.
 */
export const renderText: RenderCheck = (check, style) => {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong, bad, doubt, good } = createPalette(style);
  const tone = { pass: good, fail: bad, incomplete: doubt }[check.verdict];
  const undecided = check.undecided === "fail" ? "counted as failing" : "counted as passing";
  return [
    ...wrapText(formatVerdictLine(check), width).map((line) => strong(tone(line))),
    ...wrapText(formatTitleLine(check), width),
    ...sharedLines(check, bad("Shared faults, before any strip"), width),
    ...block(bad("Failing"), listPathsWith(check, "fail"), width),
    ...block(doubt(`Undecided, ${undecided}`), listPathsWith(check, "undecided"), width),
    ...block(doubt("Incomplete"), listPathsWith(check, "incomplete"), width),
    ...limitLines(check, width),
    ...noteLines(check, width),
    "",
    ...wrapText(formatCountLine(check), width),
    "",
  ].join("\n");
};

function sharedLines({ shared = [] }: WordedCheck, head: string, width: number): readonly string[] {
  if (shared.length === 0) return [];
  return [
    "",
    head,
    ...shared.flatMap((one) => [
      ...wrapText(`${one.verdict}: ${formatSharedFault(one.fault)}`, width, "  ", "    "),
      ...wrapText(formatSharedLook(one.fault), width, "    "),
    ]),
  ];
}

function block(head: string, paths: readonly WordedPathCheck[], width: number): readonly string[] {
  if (paths.length === 0) return [];
  const alike = [...groupBy(paths, (path) => formatReasonLines(path).join("\n")).values()];
  const apart = alike.flatMap((group) => (group.length < fewestTogether ? group : []));
  return [
    "",
    head,
    ...apartLines(apart, width),
    ...alike
      .filter((group) => group.length >= fewestTogether)
      .flatMap((group) => [
        ...listReasonWords(group[0]).flatMap((words) => wrapWords(words, width, "  ", "    ")),
        ...wrapText(
          `${group.length} paths: ${group.map(({ path }) => sanitizeLine(path)).join(", ")}`,
          width,
          "    ",
        ),
      ]),
  ];
}

/** From this many paths on, those with the same reasons are listed together. */
const fewestTogether = 4;

function apartLines(paths: readonly WordedPathCheck[], width: number): readonly string[] {
  const names = paths.map(({ path }) => sanitizeLine(path));
  const column = Math.min(24, Math.max(...names.map((name) => name.length))) + 2;
  return paths.flatMap((path, k) =>
    listReasonWords(path).flatMap((words, n) => {
      const name = n === 0 ? names[k] : "";
      const indent = " ".repeat(column + 2);
      const first = `  ${name.padEnd(column)}`;
      // A name longer than its column gets its own line.
      if (first.length > indent.length) {
        return [...wrapText(name, width, "  "), ...wrapWords(words, width, indent)];
      }
      return wrapWords(words, width, first, `${indent}  `);
    }),
  );
}

/** The limits that were not met, and why they exist. */
function limitLines(check: WordedCheck, width: number): readonly string[] {
  const broken = new Set(
    check.paths.flatMap(({ checks }) =>
      checks.flatMap(({ limit, verdict }) =>
        verdict === "fail" || verdict === "undecided" ? [limit] : [],
      ),
    ),
  );
  const limits = check.limits.filter(({ name }) => broken.has(name));
  if (limits.length === 0) return [];
  return [
    "",
    "Limits not met",
    ...limits.flatMap(({ name, expression, from, why }) => [
      ...wrapText(
        `${sanitizeLine(name)}${from === "built-in" ? " (built in)" : ""}: ${sanitizeLine(expression)}`,
        width,
        "  ",
        "    ",
      ),
      ...(why === undefined ? [] : wrapText(sanitizeLine(why), width, "    ")),
    ]),
  ];
}

function noteLines({ notes }: WordedCheck, width: number): readonly string[] {
  if (notes.length === 0) return [];
  return ["", ...notes.flatMap((line) => wrapText(sanitizeLine(line), width, "", "  "))];
}
