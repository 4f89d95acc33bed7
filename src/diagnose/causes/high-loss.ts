import { findingOn } from "../case.js";
import { type CauseKind, db, hz } from "../kind.js";
import { fitHighRollOff } from "../roll-off.js";

/** Shunt capacitance against a source resistance is a first-order low-pass at 1/(2πRC). */
/** A roll-off explains the whole loss; what leaves more than this share is another shape. */
const mostMissed = 0.25;

export const highLoss: CauseKind = {
  id: "high-loss",
  name: "high-frequency loss: shunt capacitance or failing cable",
  kind: "fault",
  confirmBy:
    "swap the cable with a sibling's and record again; if the loss stays, look for a leaking film or ceramic capacitor to ground",
  judge(path) {
    const finding = findingOn(path, ["response"], "down");
    const curve = path.responseDifference;
    const high = path.findings.find(
      (f) => f.reading === "response" && (f.atHz ?? 0) > 3000 && f.deviation < 0,
    );
    if (!finding || !high || !curve) return undefined;
    const fit = fitHighRollOff(curve);
    if (!fit) return undefined;
    const missed = fit.restDb / Math.abs(high.deviation);
    if (missed > mostMissed) return undefined;
    return {
      weight: (fit.order === 1 ? 0.8 : 0.6) - missed,
      evidence: [
        `treble falls from ${hz(fit.cornerHz)} up (${db(high.deviation)} at ${hz(high.atHz ?? 0)}), ${fit.order === 1 ? "as by one capacitor to ground" : "steeper than by one capacitor"}`,
      ],
    };
  },
};
