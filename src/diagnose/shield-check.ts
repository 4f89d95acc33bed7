import { earthRisk, solderingRisk, unplugged } from "./bench.js";

/** Whether a shield or a ground is open: what hum and tones from outside come in through. */
export const measureShield = unplugged(
  "With the desk off, unplugged and discharged, measure the resistance from the socket's shield and from the strip's ground to the frame, and compare with a sibling",
  undefined,
  ["multimeter"],
);

/** What to heed where that is repaired. */
export const shieldRisk: readonly string[] = [...earthRisk, ...solderingRisk];
