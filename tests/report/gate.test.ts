import { describe, expect, it } from "vitest";
import { formatGate, formatGateReason } from "../../src/report/gate.js";
import type { GateReason } from "../../src/service/retest/types.js";

const both = ["mic", "mic (right side)", "line", "line (right side)"];

const worse = (reading: string, families: readonly string[]): GateReason => ({
  code: "shared-worse",
  change: {
    reading,
    families,
    paths: 18,
    change: 30,
    uncertainty: 0.5,
    unit: "dB",
    bound: 3,
    scale: "absolute",
    standing: "beyond",
  },
});

describe("what keeps the desk open", () => {
  it("names what got worse on the same paths in one clause, and both sides by their paths", () => {
    const reasons = [worse("hum", both), worse("noise", both), worse("hiss", ["line"])];
    expect(formatGate({ verdict: "do-not-close", reasons })).toBe(
      "Do not close the desk: hum, noise got worse on all mic, line paths that were measured again, hiss got worse on all line paths that were measured again.",
    );
  });

  it("asks for a path once, though both of its sides were not measured", () => {
    const paths = ["1/mic", "1/mic, right side", "2/mic, right side"];
    expect(formatGateReason({ code: "not-measured", strips: "touched", paths })).toBe(
      "Not measured again: 1/mic, 2/mic, right side. Record them with the others and analyze them together.",
    );
  });
});
