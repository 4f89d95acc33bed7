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
      "level changed during the round, from 8/mic on in the order of recording, gain 4.1 dB below what it was before",
    );
  });
});

describe("noise that is a steady tone", () => {
  const whistle: RoundShared = {
    part: { kind: "master" },
    paths: ["1/line", "2/line"],
    findings: [
      { reading: "hiss", deviation: 24, unit: "dB", value: -64, expected: -88, toneHz: 8012.4 },
    ],
    aspect: "noise",
    against: "expectation",
    severity: "service",
  };

  it("is said to be one, with its frequency", () => {
    expect(formatSharedFault(whistle)).toBe(
      "master section, mix bus or interface, 2 paths: hiss 24 dB above what is expected of such a desk, mostly a steady tone at 8 kHz",
    );
    const own = whistle.findings.map((one) => ({ ...one, reading: "strayTone" }));
    expect(formatSharedFault({ ...whistle, findings: own })).toMatch(/such a desk, at 8 kHz$/);
  });

  it("is looked for beside the desk first", () => {
    expect(formatSharedLook(whistle)).toMatch(
      /^Switch off, one after the other, whatever may cause a steady tone/,
    );
    const hiss = whistle.findings.map(({ toneHz: _, ...one }) => one);
    expect(formatSharedLook({ ...whistle, findings: hiss })).toMatch(/^Short the interface's/);
  });
});

describe("formatSharedLook", () => {
  it("keeps people who are not licensed from mains and supplies", () => {
    expect(formatSharedLook(ripple)).toContain("licensed people, under local codes");
    expect(
      formatSharedLook({ part: { kind: "mains" }, aspect: "hum-odd", findings: [] }),
    ).toContain("licensed");
  });
});
