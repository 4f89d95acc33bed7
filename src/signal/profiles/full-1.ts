import type { SignalProfile } from "./types.js";

/** Decibels relative to nominal; the last is 1 dB below full scale. */
const levels: readonly number[] = [
  -80, -70, -60, -50, -40, -30, -20, -10, 0, 3, 6, 8, 10, 12, 13, 14, 15, 16, 17,
];

/** Longer: the same readings with less uncertainty. */
export const full1: SignalProfile = {
  profile: "full",
  version: 1,
  code: 2,
  build: (table) =>
    table
      .silence(6.0)
      .sweep(6, 10.9, 0.4)
      .tone("tone-1k", 1000, 0, 3.0)
      .gap(0.05)
      .tone("tone-100", 100, 0, 3.0)
      .gap(0.05)
      .twin("twin", 19_000, 20_000, 0, 2.0)
      .gap(0.05)
      .steps("steps-1k", 1000, 0.35, levels)
      .gap(0.05),
};
