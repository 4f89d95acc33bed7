import { findingOn } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** Mains lines in the silence: a shield or ground open, or a supply that is no longer smooth. */
export const humPickup: CauseKind = {
  id: "hum-pickup",
  name: "hum: open shield or ground, or supply ripple",
  kind: "fault",
  confirmBy:
    "swap the cable with a sibling's and record again; if the hum stays, look at the strip's ground and its supply decoupling",
  judge(path) {
    const hum = findingOn(path, ["hum"], "up");
    if (!hum) return undefined;
    return { weight: 0.6, evidence: [`mains lines ${db(hum.deviation)} against its siblings`] };
  },
};
