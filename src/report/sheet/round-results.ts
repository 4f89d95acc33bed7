import { createStandingReader } from "../../history/standing.js";
import type { Round, RoundPath } from "../../history/types.js";
import type { ControlReport } from "../../measure/controls/types.js";
import type { RunSheetResults } from "../../service/run-sheet.js";
import { formatFinding } from "../findings/format-finding.js";
import { formatReason } from "../not-measured/format-reason.js";

/** What a round heard of each path, in as few words as fit a column. */
export function buildRunSheetResults(round: Round): RunSheetResults {
  const standing = createStandingReader(round);
  const words = round.paths.map((path): [string, string] => [
    path.path,
    pathWords(path, standing(path)),
  ]);
  return { round: round.id, words: new Map(words) };
}

type Standing = ReturnType<ReturnType<typeof createStandingReader>>;

function pathWords(path: RoundPath, standing: Standing): string {
  if (path.controls !== undefined) return controlWords(path.controls);
  const [worst] = path.findings;
  if (standing === "alike") return "like its siblings";
  if (standing === "unjudged") return "measured; too few siblings to judge";
  if (standing === "unmeasured") return formatReason(path) ?? path.status;
  const [likely] = path.causes;
  const cause = likely === undefined ? "" : `; ${likely.name}`;
  const words = worst === undefined ? "stands out" : formatFinding(worst);
  return `${standing}: ${words}${cause}`;
}

function controlWords(controls: readonly ControlReport[]): string {
  const bad = controls.filter(({ verdicts }) => !verdicts.includes("sound"));
  if (bad.length === 0) return "nothing unwanted";
  return bad.map(({ control, verdicts }) => `${control} ${verdicts.join(", ")}`).join("; ");
}
