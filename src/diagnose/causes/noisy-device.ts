import { difference, findingOn } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** A noisy device adds hiss: noise up by more than the level is, hum not the reason. */
export const noisyDevice: CauseKind = {
  id: "noisy-device",
  name: "noisy input device or op amp",
  kind: "fault",
  confirmBy:
    "turn the gain down: noise that falls with it comes from the first stage, noise that stays from a later one; then swap the device",
  judge(path) {
    const finding = findingOn(path, ["noiseA", "noise"], "up");
    if (!finding) return undefined;
    const level = difference(path, "gain") ?? 0;
    const hiss = difference(path, "noiseA") ?? finding.deviation;
    const beyond = hiss - Math.max(0, level);
    if (beyond < 2) return undefined;
    const evidence = [`noise ${db(hiss)} (A-weighted) against its siblings, level ${db(level)}`];
    const hum = findingOn(path, ["hum"], "up");
    if (!hum) evidence.push("hum as its siblings': it is hiss, not mains");
    return { weight: hum ? 0.35 : 0.8, evidence };
  },
};
