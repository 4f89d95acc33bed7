import { DeskroundError } from "../errors.js";
import type { Round } from "../history/types.js";
import type { AnalyzeRequest, OnProgress } from "./types.js";

/** Captures to a round: measured, ranked, diagnosed and, when asked, stored. */
export async function analyze(_request: AnalyzeRequest, _onProgress: OnProgress): Promise<Round> {
  throw new DeskroundError("usage", "Analysing captures is not built in yet.");
}
