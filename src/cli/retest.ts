import { exitCode } from "../errors.js";
import type { AnalyzeRequest } from "../jobs/analyze.js";
import type { GateVerdict } from "../service/retest/types.js";
import { getReportStyle, printJson, printMessage, printReport } from "./output.js";
import { withProgress } from "./progress.js";

/** Measures a re-test, prints whether the desk can be closed, and sets the exit code. */
export async function printRetest(request: AnalyzeRequest, as: "json" | "text"): Promise<void> {
  const { analyzeRetest } = await import("../jobs/retest.js");
  const { renderAssignment } = await import("../report/assignment.js");
  const { round, retest, closed, skipped } = await withProgress((onProgress, say) =>
    analyzeRetest(request, onProgress, (assignments) =>
      say(renderAssignment(assignments, getReportStyle(process.stderr).width)),
    ),
  );
  if (request.keep === "store") printMessage(`Stored round ${round.id}.`);
  for (const text of skipped) printMessage(text);
  process.exitCode = exitCodes[retest.gate.verdict];
  if (as === "json") {
    const { wordRetest } = await import("../report/retest-figures.js");
    return printJson({ ...wordRetest(retest), closed });
  }
  const { renderRetest } = await import("../report/retest.js");
  printReport(renderRetest(retest, closed, getReportStyle()));
}

const exitCodes: Readonly<Record<GateVerdict, number>> = {
  close: exitCode.done,
  "do-not-close": exitCode.checkFailed,
  "cannot-tell": exitCode.incomplete,
};
