import type { ReturnContext } from "../return-context-types.js";
import type { LevelBreakMark } from "../types.js";
import { findDropouts } from "./dropouts.js";
import { listLevelBreaks } from "./level-breaks.js";

/** Where the recorder lost samples, the level says nothing about the desk: seconds to either side. */
const besideDropoutS = 0.02;

/**
 * Breaks of the level that are the path's own and not the recorder's.
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
