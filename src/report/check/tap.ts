import { stringify } from "yaml";
import type { SharedCheck } from "../../service/limits/types.js";
import { sanitizeLine } from "../sanitize.js";
import {
  formatLimitLine,
  formatSharedLine,
  formatTitleLine,
  formatVerdictLine,
  relationPhrases,
} from "./phrases.js";
import type { RenderCheck } from "./render-check.js";
import type { WordedPathCheck } from "./word-check.js";

/**
 * TAP version 14 (Test Anything Protocol): one test point for each path, with the reasons as YAML
 * below those that did not pass outright. An incomplete path is not ok: as a skipped test it would
 * count as a success.
 */
export const renderTap: RenderCheck = (check) => {
  const { shared = [] } = check;
  return [
    "TAP version 14",
    `1..${shared.length + check.paths.length}`,
    `# ${formatTitleLine(check)}`,
    ...shared.map(sharedPoint),
    ...check.paths.flatMap((path, index) => testPoint(path, shared.length + index)),
    ...[formatVerdictLine(check), ...check.notes].map((line) => `# ${sanitizeLine(line)}`),
    "",
  ].join("\n");
};

/** Shared faults, before the paths. */
function sharedPoint(one: SharedCheck, index: number): string {
  const ok = one.counts === "pass" ? "ok" : "not ok";
  return `${ok} ${index + 1} - ${escaped(formatSharedLine(one))}`;
}

function testPoint(path: WordedPathCheck, index: number): readonly string[] {
  const ok = path.counts === "pass" ? "ok" : "not ok";
  const point = `${ok} ${index + 1} - ${escaped(sanitizeLine(path.path))}`;
  if (path.verdict === "pass") return [point];
  return [point, "  ---", ...diagnostics(path), "  ..."];
}

function diagnostics({ verdict, status, reason, checks }: WordedPathCheck): readonly string[] {
  const told = {
    verdict,
    status,
    ...(reason === undefined ? {} : { reason: sanitizeLine(reason) }),
    limits: checks
      .filter((one) => one.verdict !== "pass")
      .map((one) => ({
        message: formatLimitLine(one),
        limit: sanitizeLine(one.limit),
        verdict: one.verdict,
        ...(one.value === undefined ? {} : { found: one.value }),
        ...(one.relation === undefined
          ? {}
          : { wanted: `${relationPhrases[one.relation]} ${one.bound}` }),
        ...(one.unit === undefined ? {} : { unit: sanitizeLine(one.unit) }),
        ...(one.uncertainty === undefined ? {} : { uncertainty: one.uncertainty }),
      })),
  };
  const lines = stringify(told, {
    lineWidth: 0,
    defaultStringType: "QUOTE_DOUBLE",
    defaultKeyType: "PLAIN",
  });
  return lines
    .trimEnd()
    .split("\n")
    .map((line) => `  ${line}`);
}

/** Escapes a description so that no # in it starts a directive. */
function escaped(text: string): string {
  return text.replace(/[\\#]/g, "\\$&");
}
