import type { SecondPlayRequest } from "../jobs/second-play.js";
import { getReportStyle, printJson, printReport } from "./output.js";
import { withProgress } from "./progress.js";

/** Measures a recording made again with a setting changed, and prints what it decides. */
export async function printSecondPlay(
  request: SecondPlayRequest,
  as: "json" | "text",
): Promise<void> {
  const { analyzeSecondPlay } = await import("../jobs/second-play.js");
  const { renderAssignment } = await import("../report/assignment.js");
  const plays = await withProgress((onProgress, say) =>
    analyzeSecondPlay(request, onProgress, (assignments) =>
      say(renderAssignment(assignments, getReportStyle(process.stderr).width)),
    ),
  );
  if (as === "json") return printJson(plays);
  const { renderSecondPlays } = await import("../report/second-play.js");
  printReport(renderSecondPlays(plays, getReportStyle()));
}
