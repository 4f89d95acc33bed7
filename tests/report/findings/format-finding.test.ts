import { describe, expect, it } from "vitest";
import type { RoundFinding } from "../../../src/history/types.js";
import { formatFinding, wordFinding } from "../../../src/report/findings/format-finding.js";

// Expected values: the figures that go in, to tenths below ten decibels and whole ones from there.

const finding = (parts: Partial<RoundFinding>): RoundFinding => ({
  reading: "noise",
  against: "siblings",
  value: -70,
  expected: -79.1,
  deviation: 9.1,
  unit: "dBu",
  score: 12,
  severity: "service",
  observation: { code: "deviates", siblings: 23 },
  ...parts,
});

describe("formatFinding", () => {
  it.each([
    [{}, "noise 9.1 dB above its siblings"],
    [{ deviation: -12.4 }, "noise 12 dB below its siblings"],
    [{ deviation: 9.96 }, "noise 10 dB above its siblings"],
    [{ observation: { code: "deviates", siblings: 1 } }, "noise 9.1 dB above its only sibling"],
    [
      {
        reading: "hum",
        deviation: 14,
        observation: { code: "deviates", siblings: 5, atLeast: true },
      },
      "hum at least 14 dB above its siblings",
    ],
    [
      { reading: "thdHot", unit: "dB" },
      "distortion 12 dB above nominal: 9.1 dB above its siblings",
    ],
    [{ reading: "clicks", unit: "/s" }, "clicks 9.1 /s above its siblings"],
    [
      { reading: "noiseSlope", unit: "dB/oct" },
      "noise slope at low frequency 9.1 dB/oct above its siblings",
    ],
    [{ reading: "response", unit: "dB", atHz: 20 }, "response 9.1 dB above its siblings at 20 Hz"],
    [
      { reading: "noiseCurve", unit: "dBFS", atHz: 12_345 },
      "noise spectrum 9.1 dB above its siblings at 12.3 kHz",
    ],
    [{ side: "right" }, "noise 9.1 dB above its siblings (right side)"],
    [
      { elseAs: "another-input" },
      "noise 9.1 dB above its siblings, and everything else as if another input had been recorded",
    ],
    [
      { reading: "polarity", unit: "", observation: { code: "unlike", siblings: 5 } },
      "polarity inverted against its siblings",
    ],
    [
      { reading: "polarity", unit: "", observation: { code: "unlike", siblings: 1 } },
      "polarity inverted against its only sibling: one of the two is wrong",
    ],
    [
      { reading: "return", observation: { code: "nothing-back", heard: { code: "named-silent" } } },
      "nothing of the signal came back (named silent)",
    ],
    [
      {
        reading: "return",
        observation: { code: "nothing-back", heard: { code: "side-silent", side: "right" } },
      },
      "nothing of the signal came back (the right side is silent)",
    ],
  ] satisfies readonly (readonly [Partial<RoundFinding>, string])[])("words %j", (parts, words) => {
    expect(formatFinding(finding(parts))).toBe(words);
  });

  it("leaves out whose siblings under a head that says it", () => {
    expect(formatFinding(finding({}), "by-the-head")).toBe("noise 9.1 dB above siblings");
    const only = finding({ observation: { code: "deviates", siblings: 1 } });
    expect(formatFinding(only, "by-the-head")).toBe("noise 9.1 dB above its only sibling");
  });

  it("takes the words of a round of before as they are", () => {
    const { observation: _, ...before } = finding({ words: "noise 9.1 dB above its siblings" });
    expect(formatFinding(before, "by-the-head")).toBe("noise 9.1 dB above its siblings");
  });
});

it("puts the words beside the data", () => {
  expect(wordFinding(finding({}))).toEqual(finding({ words: "noise 9.1 dB above its siblings" }));
});
