import type { SignalProfile } from "./types.js";

/** Decibels relative to nominal; the last is 1 dB below full scale. */
const levels: readonly number[] = [-60, -40, -20, 0, 6, 10, 12, 14, 17];

/** About 12 s: every reading. */
export const standard1: SignalProfile = {
  profile: "standard",
  version: 1,
  code: 1,
  build: (table) =>
    table
      .silence(2.2)
      .sweep(2, 3.65, 0.25)
      .tone("tone-1k", 1000, 0, 1.0)
      .gap(0.05)
      .tone("tone-100", 100, 0, 1.0)
      .gap(0.05)
      .twin("twin", 19_000, 20_000, 0, 0.7)
      .gap(0.05)
      .steps("steps-1k", 1000, 0.2, levels)
      .gap(0.05),
};
