import type { OnProgress } from "../analysis/types.js";
import type { OnRead } from "../history/facts/read-facts.js";

/** Shows the progress of reading rounds that are not indexed yet. */
export function reportReading(onProgress: OnProgress): OnRead {
  return (done, total) => onProgress({ stage: "reading rounds", done, total });
}
