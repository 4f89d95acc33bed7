import { describe, expect, it } from "vitest";
import {
  computeWithFault,
  type FaultPower,
  hasCleared,
  hasPowerCleared,
} from "../../../src/service/retest/remaining.js";

const known = {
  beforeUncertainty: 0,
  nowUncertainty: 0,
  shift: 0,
  shiftError: 0,
  repeat: 0,
};

describe("a reading that adds as power", () => {
  const hiss = (parts: Partial<FaultPower>): FaultPower => ({
    ...known,
    before: -67,
    expected: -80,
    now: -80,
    scatter: 0,
    levelShift: 0,
    ...parts,
  });

  // Powers add: two equal ones are 10·lg 2 = 3.0103 dB above either.
  it("would with the fault be the sum of the fault's power and the siblings'", () => {
    const twice = 10 * Math.log10(2);
    expect(computeWithFault(hiss({ before: -80 + twice, expected: -80 }))).toBeCloseTo(
      -80 + twice,
      9,
    );
    // The floor rose to −60: −67 less −80 is 10^−6.7 − 10^−8, and that on 10^−6.
    const sum = 10 * Math.log10(10 ** -6.7 - 10 ** -8 + 10 ** -6);
    expect(computeWithFault(hiss({ shift: 20 }))).toBeCloseTo(sum, 9);
    expect(sum).toBeCloseTo(-59.25, 2);
  });

  it("moves with the interface's setting, the fault as the floor", () => {
    expect(computeWithFault(hiss({ shift: -0.8, levelShift: -0.8 }))).toBeCloseTo(-67.8, 9);
  });

  it("is clear where its interval ends below that, and not where it reaches it", () => {
    expect(hasPowerCleared(hiss({}))).toBe(true);
    expect(hasPowerCleared(hiss({ now: -67 }))).toBe(false);
    expect(hasPowerCleared(hiss({ now: -67.5, nowUncertainty: 0.4 }))).toBe(true);
    expect(hasPowerCleared(hiss({ now: -67.5, nowUncertainty: 0.6 }))).toBe(false);
  });

  it("is not clear under a floor that rose, repaired or not", () => {
    // With the fault −59.25, without it −60: siblings that scatter by 0.4 dB hide the difference.
    const raised = hiss({ shift: 20, scatter: 0.4, nowUncertainty: 0.1 });
    expect(hasPowerCleared({ ...raised, now: -60 })).toBe(false);
    expect(hasPowerCleared({ ...raised, now: -59.25 })).toBe(false);
    // Of siblings that are all alike it could be told.
    expect(hasPowerCleared({ ...raised, scatter: 0, now: -60 })).toBe(true);
  });
});

describe("a reading that adds linearly", () => {
  const low = { ...known, before: -3, expected: 0, now: 0 };

  it("is clear where it came back by more than the interval of the difference", () => {
    expect(hasCleared(low)).toBe(true);
    // Both measured to 0.3 dB, 95 %: of the difference √2 · 0.3 = 0.424.
    const doubted = { ...low, beforeUncertainty: 0.3, nowUncertainty: 0.3 };
    expect(hasCleared({ ...doubted, now: -2.57 })).toBe(true);
    expect(hasCleared({ ...doubted, now: -2.58 })).toBe(false);
  });

  it("is not clear where it went the other way, or only as its siblings did", () => {
    expect(hasCleared({ ...low, now: -6 })).toBe(false);
    expect(hasCleared({ ...low, now: 0, shift: 3 })).toBe(false);
    expect(hasCleared({ ...low, now: 3, shift: 3 })).toBe(true);
  });

  it("needs 2 standard deviations of what a day may do", () => {
    expect(hasCleared({ ...low, now: -2.59, repeat: 0.2 })).toBe(true);
    expect(hasCleared({ ...low, now: -2.61, repeat: 0.2 })).toBe(false);
  });
});
