import { difference } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** A stage that passes nothing still lets a little through, by neighbours and stray capacitance. */
const deadDb = -30;

export const noSignal: CauseKind = {
  id: "no-signal",
  name: "no signal: dead stage or open connection",
  kind: "fault",
  confirmBy:
    "play the tone and follow it with a headphone amplifier or meter from socket to fader; press the ribbon and module connectors first",
  judge(path) {
    if (path.unheard !== undefined) {
      return { weight: 1, evidence: [`no return in its capture: ${path.unheard}`] };
    }
    const lost = difference(path, "gain");
    if (lost === undefined || lost > deadDb) return undefined;
    return { weight: 1, evidence: [`level ${db(lost)} against its siblings: stray signal only`] };
  },
};
