import type { Round } from "../history/types.js";
import type { Remark } from "../remark.js";

/**
 * A round with its warnings and remarks worded for this program and folder; words without data from
 * an older program are kept as they are. Each kind of wording is loaded only for a round that needs
 * it.
 */
export async function wordRound(round: Round): Promise<Round> {
  const { doubts = [], inCommon = [] } = round;
  return {
    ...round,
    ...(doubts.length > 0 && doubts.length === round.warnings.length
      ? { warnings: doubts.map((await import("./doubts/format-doubt.js")).formatDoubt) }
      : {}),
    ...(inCommon.length > 0 && inCommon.length === round.remarks.length
      ? { remarks: await wordRemarks(inCommon) }
      : {}),
  };
}

async function wordRemarks(remarks: readonly Remark[]): Promise<readonly string[]> {
  const { formatRemark } = await import("./remarks/format-remark.js");
  return remarks.map((one) => formatRemark(one));
}
