import { isOrderDoubt } from "../doubt.js";
import { exitCode } from "../errors.js";
import type { Round } from "../history/types.js";
import { countSeenToMove } from "../measure/controls/count-seen-to-move.js";
import { getReportStyle, printJson, printReport } from "./output.js";

/**
 * Prints a new round and sets the exit code according to its completeness.
 *
 * @param kept commands that show more of a round are printed only for a stored one
 */
export async function printRound(
  round: Round,
  as: "json" | "text",
  kept: "stored" | "preview",
): Promise<void> {
  if (as === "json") await printJson(round);
  else {
    const { isControlsPass, renderControlsPass } = await import("../report/controls.js");
    const { renderRound } = await import("../report/round.js");
    const { wordRound } = await import("../report/word-round.js");
    const style = getReportStyle();
    const worded = await wordRound(round);
    printReport(
      isControlsPass(round) ? renderControlsPass(worded, style) : renderRound(worded, style, kept),
    );
  }
  setRoundExitCode(round);
}

/** Whether a round is complete and can be believed. */
export function setRoundExitCode(round: Round): void {
  const complete = !isEmptyPass(round) && round.paths.every(({ status }) => status === "measured");
  // If all siblings are beyond what is possible for such a desk, comparing them with each other
  // proves nothing.
  const credible = !round.shared?.some(
    ({ against, severity, beyondExpectation }) =>
      beyondExpectation === true ||
      against === "expectation" ||
      (against === "other-side" && severity === "service"),
  );
  const isOrdered = !round.doubts?.some(isOrderDoubt);
  // The strip that is too loud within its group is still to be found.
  const isFound = !round.sums?.some(({ verdict }) => verdict === "too-high");
  process.exitCode =
    complete && credible && isOrdered && isFound ? exitCode.done : exitCode.incomplete;
}

/** A controls pass in which no control was seen to move proves nothing. */
function isEmptyPass({ signal, paths }: Round): boolean {
  return signal.profile === "controls" && countSeenToMove(paths) === 0;
}
