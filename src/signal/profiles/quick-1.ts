import type { SignalProfile } from "./types.js";

/** About 6 s: level, response, noise, distortion at one level. */
export const quick1: SignalProfile = {
  profile: "quick",
  version: 1,
  code: 0,
  build: (table) =>
    table
      .silence(1.2)
      .sweep(1, 1.85, 0.25)
      .tone("tone-1k", 1000, 0, 0.7)
      .gap(0.05)
      .steps("steps-1k", 1000, 0.35, [12])
      .gap(0.05),
};
