import { type CauseKind, formatDb, predictLevelRanges } from "../cause-kind.js";
import { getDeviation } from "../path-evidence.js";

/** Pads take 10 to 30 dB; a mic/line switch the wrong way much the same. */
const padDb = [-34, -9] as const;

export const padIn: CauseKind = {
  id: "pad-in",
  name: "pad left in, or mic/line switch wrong",
  kind: "setting",
  prior: 0.04,
  confirmBy: "set pad and input switch as the run sheet says and record this path again",
  confusedWith: [
    { cause: "gain-off", check: "press the pad switch twice: a pad moves the level in one step" },
  ],
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (lost === undefined || lost < padDb[0] || lost > padDb[1]) return undefined;
    return {
      moves: { ...predictLevelRanges(lost), gain: padDb },
      evidence: [`gain ${formatDb(lost)}, the same at all frequencies: as much as a pad takes`],
    };
  },
};
