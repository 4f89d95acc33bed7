import { difference, findingOn } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** A stage that has lost rail or bias runs out of swing: distortion grows with level. */
export const earlyClipping: CauseKind = {
  id: "early-clipping",
  name: "early or one-sided clipping: missing rail or resistor off value",
  kind: "fault",
  confirmBy:
    "measure the supply rails at the strip's op amps (supply work is for licensed hands), then the bias and feedback resistors",
  judge(path) {
    const hot = findingOn(path, ["thdHot"], "up");
    const squeezed = findingOn(path, ["compression"], "down");
    if (!hot && !squeezed) return undefined;
    const evidence: string[] = [];
    let weight = 0.4;
    if (hot) {
      const nominal = difference(path, "thd") ?? 0;
      evidence.push(
        `distortion 12 dB above nominal ${db(hot.deviation)} against its siblings, ${db(nominal)} at nominal`,
      );
      weight += hot.deviation - nominal > 6 ? 0.3 : 0.1;
    }
    if (squeezed) {
      evidence.push(`level falls behind by ${db(squeezed.deviation)} 12 dB above nominal`);
      weight += 0.2;
    }
    return { weight, evidence };
  },
};
