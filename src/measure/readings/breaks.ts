import { isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";

/** Breaks of the level in sweep, tones and steps; common practice. */
export const breaks: ReadingKind<"breaks"> = {
  id: "breaks",
  name: "level breaks",
  unit: "",
  definition: "how often the level breaks within sweep, tones and steps, for 8 ms or longer",
  source: "common practice",
  segment: "tone-1k",
  aspect: "steadiness",
  harm: "up",
  least: 1,
  share: "shift",
  priorScatter: "unknown",
  evidence: { group: "breaks", order: 162 },
  read(context) {
    const tone = context.tone("tone-1k");
    if (isAbsent(tone)) return tone;
    // A count: one event at the threshold may be in or out.
    return { value: context.levelBreaks().length, unit: "", uncertainty: 0.5 };
  },
};
