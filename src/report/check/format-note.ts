import { getReadingName } from "../../measure/reading-kinds.js";
import type { Lack } from "../../service/limits/lack.js";
import type { CheckNote } from "../../service/limits/types.js";
import type { LeftAlone } from "../../service/notebook/left-alone.js";
import { toDifferenceUnit } from "../../text/level-units.js";
import { formatCommand } from "../../text/program-name.js";
import { formatAbsence } from "../absences/format-absence.js";
import { formatReference } from "../format-reference.js";
import { formatReason } from "../not-measured/format-reason.js";

/** What a check left out, and what else the reader must know: one sentence for each note. */
export function formatCheckNote(note: CheckNote): string {
  switch (note.code) {
    case "limit-unusable":
      return `Not judged: ${note.why}`;
    case "left-out":
      return `Not judged for ${note.families.join(", ")} by ${note.limits.join(", ")}: ${formatLack(note.lack, note.lacking)}.`;
    case "spared":
      return formatSpared(note.paths);
    case "left-alone":
      return formatLeftAlone(note.oddity);
    case "limit-for-no-path":
      return `The limit ${note.limit} applies to no path.`;
    case "paths-without-limit":
      return `No limit applies to ${note.paths.join(", ")}.`;
    case "reference-path":
      return formatReference(note.reference);
    case "baseline-passed-over":
      return `Not used as a baseline: ${note.why}`;
  }
}

/**
 * Why a limit cannot be judged.
 *
 * @param lacking what is missing, as an expression
 */
export function formatLack(lack: Lack, lacking?: string): string {
  const why = phraseLack(lack);
  return lacking === undefined ? why : `no ${lacking}: ${why}`;
}

function phraseLack(lack: Lack): string {
  switch (lack.code) {
    case "not-made":
      return formatAbsence(lack.because);
    case "not-measured":
      return formatReason(lack) ?? lack.status;
    case "input-not-calibrated":
      return "its input on the interface was not calibrated";
    case "not-in-signal":
      return "the signal of this round does not provide it";
    case "no-curve":
      return lack.curve === undefined ? "it has no such curve" : `it has no ${lack.curve} curve`;
    case "short-curve":
      return `its curve runs from ${Math.round(lack.fromHz)} to ${Math.round(lack.toHz)} Hz only`;
    case "few-siblings":
      return `fewer than ${lack.least} siblings have it`;
    case "not-in-baseline":
      return "it is not in the baseline round";
    case "of-baseline":
      return `${phraseLack(lack.lack)} (in the baseline round)`;
    case "loud-sum": {
      const { reading, strips, above, unit } = lack;
      const name = getReadingName(reading);
      const by = `${above.toFixed(1)} ${toDifferenceUnit(unit)}`;
      return `${name} of ${strips} strips together is ${by} too high (${formatCommand("halve")})`;
    }
    case "division-by-zero":
      return "the expression divides by zero";
    case "no-point":
      return "its curve has no point there";
  }
}

function formatSpared(paths: readonly string[]): string {
  const [were, them, they] = paths.length === 1 ? ["was", "it", "it"] : ["were", "them", "they"];
  return `${paths.join(", ")} ${were} out of line in the baseline round: the built-in limits do not compare ${them} with what ${they} read then.`;
}

function formatLeftAlone({ path, note, line, state }: LeftAlone): string {
  const until = line.until === undefined ? "" : `, until ${line.until}`;
  return state === "over"
    ? `${path} was left alone until ${line.until} (${note}) and counts again.`
    : `${path} is left alone: ${line.text} (${note}${until}).`;
}
