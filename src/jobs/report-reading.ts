import type { OnProgress } from "../analysis/types.js";
import type { OnRead } from "../history/facts/read-facts.js";

/** Shows how far rounds are read that no index knows yet. */
export function reportReading(onProgress: OnProgress): OnRead {
  return (done, total) => onProgress({ stage: "reading rounds", done, total });
}
