import type { Doubt } from "../../doubt.js";
import type { TakeFault } from "../../not-measured.js";
import { formatHeard } from "../not-measured/format-heard.js";
import { formatNotMeasured } from "../not-measured/format-not-measured.js";

/**
 * A doubt with the words that a round keeps beside its data, for programs that have always read
 * them there.
 */
export function wordDoubt(doubt: Doubt): Doubt {
  switch (doubt.code) {
    case "no-return":
      return doubt.instead === undefined
        ? doubt
        : { ...doubt, heard: doubt.heard ?? formatHeard(doubt.instead) };
    case "reference-unusable":
      return { ...doubt, reason: doubt.reason ?? formatWhy(doubt) };
    case "several-takes": {
      const { worse } = doubt;
      return worse === undefined
        ? doubt
        : { ...doubt, worse: { ...worse, reason: worse.reason ?? formatWhy(worse) } };
    }
    default:
      return doubt;
  }
}

/**
 * Why something could not be measured: worded from data, or as an older round stored it, in words
 * alone.
 */
export function formatWhy({
  because,
  reason,
}: {
  readonly because?: TakeFault;
  readonly reason?: string;
}): string {
  return because === undefined ? (reason ?? "unusable") : formatNotMeasured(because);
}
