import { inUse } from "../bench.js";
import { formatDb, formatHz, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { fitLowCut } from "../shapes.js";
import { buildSwitchBench } from "../switch-bench.js";

/** A low-cut switch inserts a deliberate filter: 12 or 18 dB per octave from 30 to 350 Hz. */
const cornersHz = [25, 400] as const;

const says = {
  "low-end-cut": ({ order, hz, at20Db }: Readonly<Record<"order" | "hz" | "at20Db", number>>) =>
    `low end falls ${6 * order} dB per octave below ${formatHz(hz)} (${formatDb(at20Db)} at 20 Hz): a deliberate filter, not a single capacitor`,
} satisfies EvidenceWords;
const seen = createEvidence("low-cut-left-in", says);

export const lowCutLeftIn: PredictedCause<"low-cut-left-in"> = {
  id: "low-cut-left-in",
  name: "low-cut left in",
  word: "low-cut",
  kind: "setting",
  shownBy: ["round", "use"],
  seat: ["low-cut"],
  prior: 0.12,
  answers: { "low-cut": 0.95, "other-input": 0.2 },
  settle: inUse("switch the low-cut off and record this path again", undefined, [
    "recording set-up",
  ]),
  tryNow: "is the low-cut switched in?",
  confusedWith: [
    {
      cause: "dried-coupling-capacitor",
      check:
        "switch the low-cut in and out: if the low end stays thin, look for a dried-out capacitor",
    },
  ],
  bench: buildSwitchBench("the low-cut switch"),
  says,
  predict(path) {
    const { response } = path;
    if (!response) return undefined;
    const fit = fitLowCut(response);
    if (fit.hz < cornersHz[0] || fit.hz > cornersHz[1]) return undefined;
    const loss = Math.max(0, -fit.shape(100));
    return {
      moves: {
        // the filter cuts the fundamental more than the harmonics made before it
        thd100: [-2 * loss - 2, loss + 2],
        noise: [-12, 1],
        hum: [-40, 1],
        humOdd: [-40, 1],
        humEven: [-30, 1],
        noiseSlope: [-1, 8],
      },
      response: fit.shape,
      fitted: 2,
      evidence: [seen("low-end-cut", { order: fit.order, hz: fit.hz, at20Db: fit.shape(20) })],
    };
  },
};
