import { difference, findingOn, humShare } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** Mains lines in the silence: a shield or ground open, or a supply that is no longer smooth. */
const mostlyHum = 0.5;

export const humPickup: CauseKind = {
  id: "hum-pickup",
  name: "hum: open shield or ground, or supply ripple",
  kind: "fault",
  confirmBy:
    "swap the cable with a sibling's and record again; if the hum stays, look at the strip's ground and its supply decoupling",
  judge(path) {
    const share = humShare(path) ?? 0;
    const hum = findingOn(path, ["hum"], "up");
    const noise = findingOn(path, ["noise"], "up");
    if (!hum && !(noise && share > mostlyHum)) return undefined;
    const lines = difference(path, "hum");
    const evidence = lines === undefined ? [] : [`mains lines ${db(lines)} against its siblings`];
    if (share > mostlyHum)
      evidence.push(`${Math.round(100 * share)} % of the noise power is mains`);
    return { weight: share > mostlyHum ? 0.75 : 0.6, evidence };
  },
};
