import type { SharedCheck } from "../../service/limits/types.js";
import { escapeMarkup } from "../escape.js";
import { sanitizeLine } from "../sanitize.js";
import {
  formatCountLine,
  formatLimitLine,
  formatReasonLines,
  formatSharedLine,
  formatTitleLine,
  formatVerdictLine,
  listPathsWith,
} from "./phrases.js";
import type { RenderCheck } from "./render-check.js";
import type { WordedCheck, WordedPathCheck } from "./word-check.js";

/**
 * JUnit XML for build servers: one suite, one test case for each path. A path that fails, or is
 * undecided if that counts as failing, is a failure; an incomplete one is an error. Attributes and
 * their order follow the strictest of the schemas in use, so that all are met.
 */
export const renderJunit: RenderCheck = (check) => {
  const { shared = [] } = check;
  const failures = [...shared, ...check.paths].filter(({ counts }) => counts === "fail").length;
  const errors = check.paths.filter(({ counts }) => counts === "incomplete").length;
  const suite = attributes({
    name: `${check.desk}, round ${check.round}`,
    id: "0",
    package: "deskround",
    timestamp: timestamp(check.date),
    hostname: "localhost",
    tests: String(shared.length + check.paths.length),
    failures: String(failures),
    errors: String(errors),
    time: "0",
  });
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    "<testsuites>",
    `  <testsuite ${suite}>`,
    "    <properties>",
    ...properties(check).map(([name, value]) => `      <property ${attributes({ name, value })}/>`),
    "    </properties>",
    ...shared.flatMap(sharedCase),
    ...check.paths.flatMap(testCase),
    `    <system-out>${escapeMarkup(said(check).join("\n"))}</system-out>`,
    "    <system-err/>",
    "  </testsuite>",
    "</testsuites>",
    "",
  ].join("\n");
};

function properties({
  round,
  baseline,
  undecided,
  tool,
}: WordedCheck): readonly [string, string][] {
  return [
    ["round", round],
    ...(baseline === undefined ? [] : [["baseline", baseline] as [string, string]]),
    ["undecided", undecided],
    ["deskround", tool.version],
  ];
}

/** Shared faults, before the paths. */
function sharedCase(one: SharedCheck, index: number): readonly string[] {
  const head = attributes({ name: `shared ${index + 1}`, classname: "shared", time: "0" });
  if (one.counts === "pass") return [`    <testcase ${head}/>`];
  const message = formatSharedLine(one);
  return [
    `    <testcase ${head}>`,
    `      <failure ${attributes({ type: one.verdict, message })}>${escapeMarkup(message)}</failure>`,
    "    </testcase>",
  ];
}

function testCase(path: WordedPathCheck): readonly string[] {
  const head = attributes({ name: path.path, classname: `strip ${path.strip}`, time: "0" });
  if (path.counts === "pass") return [`    <testcase ${head}/>`];
  const element = path.counts === "fail" ? "failure" : "error";
  const lines = formatReasonLines(path);
  const about = attributes({ type: path.verdict, message: lines.join("; ") });
  return [
    `    <testcase ${head}>`,
    `      <${element} ${about}>${escapeMarkup(lines.join("\n"))}</${element}>`,
    "    </testcase>",
  ];
}

/** What must be reported although it makes no test case fail. */
function said(check: WordedCheck): readonly string[] {
  const tolerated = check.undecided === "pass" ? listPathsWith(check, "undecided") : [];
  return [
    formatVerdictLine(check),
    formatTitleLine(check),
    formatCountLine(check),
    ...tolerated.flatMap(({ path, checks }) =>
      checks
        .filter(({ verdict }) => verdict === "undecided")
        .map((one) => `${sanitizeLine(path)}: ${formatLimitLine(one)}`),
    ),
    ...check.notes.map(sanitizeLine),
  ];
}

/** UTC to the second, without a time zone, as the schemas require. */
function timestamp(date: string): string {
  const time = Date.parse(date);
  return new Date(Number.isNaN(time) ? 0 : time).toISOString().slice(0, 19);
}

function attributes(values: Readonly<Record<string, string>>): string {
  return Object.entries(values)
    .map(([name, value]) => `${name}="${escapeMarkup(sanitizeLine(value))}"`)
    .join(" ");
}
