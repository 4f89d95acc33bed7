import type { SearchResult } from "../../capture/find/find-returns.js";
import type { RecordingInfo } from "../../capture/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";

/** A capture and what was found in it. */
interface Looked {
  readonly info: RecordingInfo;
  readonly found: SearchResult;
}

/** Doubts about captures, independent of their returns. */
export function listCaptureDoubts(captures: readonly Looked[]): readonly Doubt[] {
  return captures.flatMap(({ info, found }) => [...info.doubts, ...found.doubts]);
}

/**
 * Calls a function and adds the doubts about the captures to its error: they often explain why
 * there are too few returns.
 *
 * @throws what the function throws
 */
export function withDoubtsInErrors<T>(captures: readonly Looked[], call: () => T): T {
  try {
    return call();
  } catch (error) {
    const doubts = listCaptureDoubts(captures);
    if (!(error instanceof DeskroundError) || doubts.length === 0) throw error;
    throw new DeskroundError(error.code, error.message, error.hint, error, doubts);
  }
}
