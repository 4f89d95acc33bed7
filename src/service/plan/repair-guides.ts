import type { CauseKind } from "../../diagnose/cause-kind.js";
import { componentOffValue } from "../../diagnose/causes/component-off-value.js";
import { noneOfThese } from "../../diagnose/causes/none-of-these.js";
import { wornControl } from "../../diagnose/causes/worn-control.js";
import { findCause } from "../../diagnose/causes.js";
import { dangerGuide, isDangerCause } from "./danger-guide.js";
import { isControlCause } from "./from-controls.js";
import type { RepairGuide } from "./repair-guide.js";

/** Prefix of items for a component measured out of tolerance. */
const partPrefix = "part-";

/** The cause of an item that is one part: `part-r14`. */
export function formatPartCause(part: string): string {
  return `${partPrefix}${part.toLowerCase()}`;
}

/** Whether an item's cause is a part that was measured out of tolerance. */
export function isPartCause(cause: string): boolean {
  return cause.startsWith(partPrefix);
}

/**
 * The repair guide of an item's cause. For a cause unknown here, e.g. from another version's round,
 * it is tracing the signal.
 */
export function getRepairGuide(cause: string): RepairGuide {
  if (isDangerCause(cause)) return dangerGuide;
  const kind = kindOf(cause);
  return { ...(kind.bench ?? noneOfThese.bench), settle: kind.settle };
}

function kindOf(cause: string): CauseKind {
  if (isPartCause(cause)) return componentOffValue;
  if (isControlCause(cause)) return wornControl;
  return findCause(cause) ?? noneOfThese;
}
