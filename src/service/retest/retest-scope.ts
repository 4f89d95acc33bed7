import type { Notebook } from "../notebook/types.js";
import type { RetestPaths } from "./retest-paths.js";

/** What a re-test is judged by besides the two rounds. */
export interface RetestScope {
  readonly notebook: Notebook;
  /** Strips worked on, and all paths to measure again. */
  readonly chosen: Pick<RetestPaths, "touched" | "paths"> &
    Partial<Pick<RetestPaths, "worksOnShared" | "sections">>;
  /** Keys of items proved repaired by an earlier re-test. */
  readonly done?: ReadonlyMap<string, string>;
}
