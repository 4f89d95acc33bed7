import { earthRisk, solderingRisk, unplugged } from "./bench.js";

/** Finds an open shield or ground, through which hum and external tones get in. */
export const measureShield = unplugged(
  "With the desk off, unplugged and discharged, measure the resistance from the socket's shield and from the strip's ground to the frame, and compare with a sibling",
  undefined,
  ["multimeter"],
);

/** Cautions for that repair. */
export const shieldRisk: readonly string[] = [...earthRisk, ...solderingRisk];
