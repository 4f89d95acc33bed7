import { isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";

/** Clicks and crackle per second of the silence and the 1 kHz tone; common practice. */
export const clicks: ReadingKind<"clicks"> = {
  id: "clicks",
  name: "clicks",
  unit: "/s",
  definition: "clicks and crackle per second of the silence and the 1 kHz tone",
  source: "common practice",
  segment: "silence",
  aspect: "clicks",
  harm: "up",
  least: 1,
  share: "shift",
  priorScatter: "unknown",
  evidence: { group: "clicks", order: 150 },
  underHum: [-1, 200],
  // So many a second: common practice.
  sumTolerance: 1,
  read(context) {
    const heard = context.clicks();
    if (isAbsent(heard)) return heard;
    const { clicks: found, seconds } = heard;
    // A count: one at the threshold may be in or out.
    return { value: found.length / seconds, unit: "/s", uncertainty: 1 / seconds };
  },
};
