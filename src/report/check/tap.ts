import { stringify } from "yaml";
import type { PathCheck } from "../../service/limits/types.js";
import { visible } from "../visible.js";
import type { RenderCheck } from "./render-check.js";
import { limitLine, relationWords, titleLine, verdictLine } from "./words.js";

/**
 * TAP version 14 (Test Anything Protocol): a test point for each path, with its reasons as YAML
 * below those that did not simply pass. What is incomplete is not ok: a plan that skips it would
 * be a success.
 */
export const renderTap: RenderCheck = (check) =>
  [
    "TAP version 14",
    `1..${check.paths.length}`,
    `# ${titleLine(check)}`,
    ...check.paths.flatMap(testPoint),
    ...[verdictLine(check), ...check.notes].map((line) => `# ${visible(line)}`),
    "",
  ].join("\n");

function testPoint(path: PathCheck, index: number): readonly string[] {
  const ok = path.counts === "pass" ? "ok" : "not ok";
  const point = `${ok} ${index + 1} - ${escaped(visible(path.path))}`;
  if (path.verdict === "pass") return [point];
  return [point, "  ---", ...diagnostics(path), "  ..."];
}

function diagnostics({ verdict, status, reason, checks }: PathCheck): readonly string[] {
  const told = {
    verdict,
    status,
    ...(reason === undefined ? {} : { reason: visible(reason) }),
    limits: checks
      .filter((one) => one.verdict !== "pass")
      .map((one) => ({
        message: limitLine(one),
        limit: visible(one.limit),
        verdict: one.verdict,
        ...(one.value === undefined ? {} : { found: one.value }),
        ...(one.relation === undefined
          ? {}
          : { wanted: `${relationWords[one.relation]} ${one.bound}` }),
        ...(one.unit === undefined ? {} : { unit: visible(one.unit) }),
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

/** A description in which # begins no directive. */
function escaped(text: string): string {
  return text.replace(/[\\#]/g, "\\$&");
}
