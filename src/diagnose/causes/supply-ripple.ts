import { commonPractice, onBench, polarityRisk, powered, solderingRisk } from "../bench.js";
import {
  formatDb,
  formatHz,
  type PredictedCause,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
} from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { grossHumDb } from "../hum-lines.js";
import { combNats, findMainsComb, predictCombMixing } from "../mains-comb.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

const says = {
  "even-lines": ({ evenDb, oddDb }: Readonly<Record<"evenDb" | "oddDb", number>>) =>
    `even multiples of the mains ${formatDb(evenDb)}${oddDb > 1 ? `, odd ones ${formatDb(oddDb)}` : ", odd ones like its siblings'"}`,
  comb: ({ db, toHz }: Readonly<Record<"db" | "toHz", number>>) =>
    `even multiples of the mains up to ${formatHz(toHz)} ${formatDb(db)}: the short pulses of a rectifier`,
} satisfies EvidenceWords;
const seen = createEvidence("supply-ripple", says);

/** The ripple that a rectifier leaves on a supply is at multiples of twice the mains frequency. */
export const supplyRipple: PredictedCause<"supply-ripple"> = {
  id: "supply-ripple",
  name: "supply ripple: local decoupling or regulator",
  word: "ripple",
  kind: "fault",
  sharedAspect: "hum-even",
  shownBy: ["round", "meter", "use"],
  prior: 0.05,
  answers: { "other-input": 0.05 },
  settle: powered(
    "look at the strip's supply pins with an oscilloscope, a.c. coupled, and at the next strip's: ripple here alone points to this strip's decoupling or regulator, ripple on every strip to the supply",
    ["oscilloscope", "extender"],
  ),
  ready: "electrolytics of the strip's decoupling values, a regulator where the strip has one",
  confusedWith: [
    {
      cause: "ground-hum",
      check: "move the cable and turn the strip's gain down: ripple does not change with the cable",
    },
  ],
  bench: {
    steps: [
      onBench(
        "With the desk off, unplugged and discharged, measure the capacitance of the strip's decoupling capacitors and the value of its feed resistors, one end lifted",
        undefined,
        ["multimeter", "capacitance meter"],
      ),
    ],
    repair:
      "Replace the decoupling capacitors that read low with ones of the value and voltage rating used in the neighbouring strips.",
    parts: [{ role: "decoupling capacitor", count: 2 }],
    minutes: 35,
    risks: [...polarityRisk, ...solderingRisk, "leave supply work to licensed people"],
    source: commonPractice,
  },
  notes: [{ symptoms: { hum: 2, buzz: 4 } }],
  meter: [{ kind: "rail", when: "out", weight: "raises" }],
  says,
  predict(path) {
    const even = getDeviation(path, "humEven");
    const comb = findMainsComb(path, "even");
    if (even === undefined || (!isOutlier(path, "humEven", "up") && !comb)) return undefined;
    const odd = getDeviation(path, "humOdd") ?? 0;
    return {
      moves: {
        ...predictHissRanges([-1, 2]),
        ...((odd ?? 0) > grossHumDb || (even ?? 0) > grossHumDb ? predictHumMixing() : {}),
        ...predictHumRanges([-2, Math.max(2, even - 4)], [1.5, 70]),
        noise: [-1, 80],
        noiseA: [-1, 50],
        thd: [-1, 6],
        instability: [-1, 10],
        instability100: [-1, 10],
        ...(comb && predictCombMixing()),
      },
      ...(comb && { sign: combNats }),
      evidence: [
        seen("even-lines", { evenDb: even, oddDb: odd }),
        ...(comb ? [seen("comb", { db: comb.db, toHz: comb.toHz })] : []),
      ],
    };
  },
};
