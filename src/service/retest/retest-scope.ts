import type { Notebook } from "../notebook/types.js";
import type { RetestPaths } from "./retest-paths.js";

/** What a re-test is judged by besides the two rounds. */
export interface RetestScope {
  readonly notebook: Notebook;
  /** Strips that were worked on, and all paths that were to be measured again. */
  readonly chosen: Pick<RetestPaths, "touched" | "paths"> &
    Partial<Pick<RetestPaths, "worksOnShared" | "sections">>;
  /** Keys of items that an earlier re-test has proven repaired. */
  readonly done?: ReadonlyMap<string, string>;
}
