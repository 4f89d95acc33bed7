import { exitCode } from "../errors.js";
import type { AnalyzeRequest } from "../jobs/types.js";
import { getReportStyle, printJson, printMessage, printReport } from "./output.js";
import { withProgress } from "./progress.js";

/** Measures a re-test, prints what became of each item, and sets the exit code. */
export async function printRetest(request: AnalyzeRequest, as: "json" | "text"): Promise<void> {
  const { analyzeRetest } = await import("../jobs/retest.js");
  const { renderAssignment } = await import("../report/assignment.js");
  const { round, retest, closed } = await withProgress((onProgress, say) =>
    analyzeRetest(request, onProgress, (assignments) =>
      say(renderAssignment(assignments, getReportStyle(process.stderr).width)),
    ),
  );
  if (request.keep === "store") printMessage(`Stored round ${round.id}.`);
  const complete = round.paths.every(({ status }) => status === "measured");
  process.exitCode = complete ? exitCode.done : exitCode.incomplete;
  if (as === "json") return printJson({ ...retest, closed });
  const { renderRetest } = await import("../report/retest.js");
  printReport(renderRetest(retest, closed, getReportStyle()));
}
