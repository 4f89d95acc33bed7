import { commonPractice, inUse } from "../bench.js";
import { type PredictedCause, predictHissRanges } from "../cause-kind.js";
import { measureShield, shieldRisk } from "../shield-check.js";
import { findStrayTone } from "../stray-tone.js";

/** A tone picked up from a nearby source is no further above the noise than this, decibels. */
const loudestDb = 60;

/** A field or a ground current from a switching supply, a lamp, a screen or a clock. */
export const pickedUpTone: PredictedCause<"picked-up-tone"> = {
  id: "picked-up-tone",
  name: "tone picked up: open shield, or a supply, lamp or clock nearby",
  word: "pick-up",
  kind: "fault",
  shownBy: ["round", "use"],
  prior: 0.03,
  answers: { cable: 0.45, again: 0.2, "other-input": 0.8 },
  settle: inUse(
    "switch chargers, lamps, screens and digital gear nearby off one by one while you listen, then swap the cable with a sibling's and record again",
    undefined,
    ["recording set-up", "good cable"],
  ),
  tryNow: "switch off chargers, lamps and screens nearby, and try another cable",
  confusedWith: [
    {
      cause: "oscillation",
      check: "switch off what is nearby: an oscillating stage keeps oscillating",
    },
    { cause: "noisy-device", check: "listen: a device hisses, a tone has a pitch" },
  ],
  bench: {
    steps: [measureShield],
    repair: "Resolder the joint of the shield or of the ground.",
    parts: [],
    minutes: 25,
    risks: shieldRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { whistle: 5 } }],
  predict(path) {
    const tone = findStrayTone(path);
    if (tone === undefined) return undefined;
    return {
      moves: {
        ...predictHissRanges([0, loudestDb]),
        strayTone: [3, loudestDb],
        imd: [0, loudestDb],
        thd: [0, 10],
        thd100: [0, 10],
      },
      evidence: [tone],
    };
  },
};
