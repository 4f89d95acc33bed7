import type { ReturnContext } from "../return-context-types.js";
import type { LevelBreakMark } from "../types.js";
import { findDropouts } from "./dropouts.js";
import { listLevelBreaks } from "./level-breaks.js";

/** Seconds on either side of lost samples where the level says nothing about the desk. */
const besideDropoutS = 0.02;

/**
 * Breaks of the level caused by the path, not by the recorder.
 *
 * @example
 * const context = createReturnContext(audio);
 * listOwnBreaks(context); // []
 */
export function listOwnBreaks(context: ReturnContext): readonly LevelBreakMark[] {
  const found = listLevelBreaks(context.audio);
  if (found.length === 0) return found;
  const lost = findDropouts(context);
  return found.filter(({ atS, untilS }) =>
    lost.every(({ fromS, toS }) => fromS > untilS + besideDropoutS || toS < atS - besideDropoutS),
  );
}
