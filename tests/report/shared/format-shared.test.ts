import { describe, expect, it } from "vitest";
import type { RoundShared } from "../../../src/history/types.js";
import { formatSharedFault, formatSharedLook } from "../../../src/report/shared/format-shared.js";

const ripple: RoundShared = {
  part: { kind: "supply", name: "supply feed 2", strips: ["5", "6", "7", "8"] },
  paths: ["5/mic", "6/mic", "7/mic", "8/mic"],
  findings: [
    { reading: "humEven", deviation: 30.2, unit: "dB", value: -98, expected: -128.2 },
    { reading: "noise", deviation: 8, unit: "dB", value: -95, expected: -103 },
  ],
  aspect: "hum-even",
  against: "siblings",
  severity: "service",
  probability: 0.99,
};

describe("formatSharedFault", () => {
  it("says the part first, then the reading that tells most", () => {
    expect(formatSharedFault(ripple)).toBe(
      "supply feed 2 (strips 5 to 8): hum, even lines 30 dB above that of the other strips",
    );
  });

  it("says from which path on a level was touched", () => {
    const touched: RoundShared = {
      part: { kind: "level" },
      paths: ["8/mic", "9/mic"],
      findings: [{ reading: "gain", deviation: -4.06, unit: "dB", value: -4, expected: 0.06 }],
      aspect: "level",
      against: "siblings",
      severity: "service",
    };
    expect(formatSharedFault(touched)).toBe(
      "level touched in the midst of the round: from 8/mic on in the order of recording, gain 4.1 dB below what it was before",
    );
  });
});

describe("formatSharedLook", () => {
  it("keeps people who are not licensed from mains and supplies", () => {
    expect(formatSharedLook(ripple)).toContain("licensed people, under local codes");
    expect(formatSharedLook({ part: { kind: "mains" }, aspect: "hum-odd" })).toContain("licensed");
  });
});
