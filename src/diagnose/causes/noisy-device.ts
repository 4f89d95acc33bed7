import { difference, findingOn, humShare } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** A noisy device adds hiss: noise up by more than the level is, and mains lines not the reason. */
const leastHissDb = 2;
/** With more hum than this in the noise it is hum that should be explained. */
const mostHum = 0.5;

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
    if (hiss - Math.max(0, level) < leastHissDb) return undefined;
    const hum = humShare(path) ?? 0;
    const evidence = [`noise ${db(hiss)} (A-weighted) against its siblings, level ${db(level)}`];
    if (hum < mostHum) evidence.push("hiss, not mains: hum is a small part of it");
    return { weight: hum < mostHum ? 0.8 : 0.3, evidence };
  },
};
