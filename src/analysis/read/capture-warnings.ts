import type { SearchResult } from "../../capture/find/find-returns.js";
import type { RecordingInfo } from "../../capture/types.js";
import { DeskroundError } from "../../errors.js";

/** A capture and what was found in it. */
interface Looked {
  readonly info: RecordingInfo;
  readonly found: SearchResult;
}

/** What has to be said about captures, whatever becomes of their returns. */
export function listCaptureWarnings(captures: readonly Looked[]): readonly string[] {
  return captures.flatMap(({ info, found }) => [...info.warnings, ...found.warnings]);
}

/** A refusal is one line; more doubts than this are no help in it. */
const mostTold = 3;

/**
 * The hint of a refusal, with the doubts about the captures behind it: where returns are fewer than
 * they should be, one of them is often why.
 */
export function addWarningsToHint(
  hint: string | undefined,
  all: readonly string[],
): string | undefined {
  const doubts = all.filter((one) => hint === undefined || !one.includes(hint));
  if (doubts.length === 0) return hint;
  const more = doubts.length > mostTold ? ` And ${doubts.length - mostTold} more like it.` : "";
  const told = `This may be why: ${doubts.slice(0, mostTold).join(" ")}${more}`;
  return hint === undefined ? told : `${hint} ${told}`;
}

/**
 * Calls a function and adds the doubts about the captures to the hint of what it refuses.
 *
 * @throws what the function throws
 */
export function withWarningsInErrors<T>(captures: readonly Looked[], call: () => T): T {
  try {
    return call();
  } catch (error) {
    const doubts = listCaptureWarnings(captures);
    if (!(error instanceof DeskroundError) || doubts.length === 0) throw error;
    const hint = addWarningsToHint(error.hint, doubts);
    throw new DeskroundError(error.code, error.message, hint, error);
  }
}
