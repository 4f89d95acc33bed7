import { inUse } from "../bench.js";
import { formatDb, type PredictedCause, predictLevelRanges } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation } from "../path-evidence.js";
import { buildSwitchBench } from "../switch-bench.js";

/** Pads attenuate by 10 to 30 dB; a mic/line switch in the wrong position does much the same. */
const padDb = [-34, -9] as const;

const says = {
  "level-lost": ({ db }: { readonly db: number }) =>
    `gain ${formatDb(db)}, the same at all frequencies: the attenuation of a pad`,
} satisfies EvidenceWords;
const seen = createEvidence("pad-in", says);

export const padIn: PredictedCause<"pad-in"> = {
  id: "pad-in",
  name: "pad left in, or mic/line switch wrong",
  word: "pad in",
  kind: "setting",
  shownBy: ["round", "use"],
  seat: ["input stage", "input switch"],
  prior: 0.04,
  answers: { pad: 0.95, marks: 0.05, "other-input": 0.9 },
  settle: inUse(
    "set pad and input switch as the run sheet says, and record this path again",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "is the pad, or the mic/line switch, set as on the run sheet?",
  confusedWith: [
    { cause: "gain-off", check: "press the pad switch twice: a pad moves the level in one step" },
  ],
  bench: buildSwitchBench("pad and input switch"),
  says,
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (lost === undefined || lost < padDb[0] || lost > padDb[1]) return undefined;
    return {
      moves: { ...predictLevelRanges(lost), gain: padDb },
      evidence: [seen("level-lost", { db: lost })],
    };
  },
};
