import { describe, expect, it } from "vitest";
import { formatCheckNote, formatLack } from "../../../src/report/check/format-note.js";

describe("what a check left out", () => {
  it("is reported with the operand that lacks it", () => {
    const lack = { code: "few-siblings", least: 3 } as const;
    expect(formatLack(lack, "thd")).toBe("no thd: fewer than 3 siblings have it");
    expect(formatLack({ code: "of-baseline", lack: { code: "not-in-signal" } }, "thd")).toBe(
      "no thd: the signal of this round does not provide it (in the baseline round)",
    );
    expect(formatLack({ code: "short-curve", fromHz: 19.6, toHz: 12_345.6 })).toBe(
      "its curve runs from 20 to 12346 Hz only",
    );
  });

  it("is one sentence for limits that lack the same", () => {
    const lack = { code: "few-siblings", least: 3 } as const;
    const limits = ["thd-alike", "gain-alike"];
    expect(formatCheckNote({ code: "left-out", families: ["mic"], limits, lack })).toBe(
      "Not judged for mic by thd-alike, gain-alike: fewer than 3 siblings have it.",
    );
  });

  it("speaks of one path and of several", () => {
    expect(formatCheckNote({ code: "spared", paths: ["7/mic"] })).toBe(
      "7/mic was out of line in the baseline round: the built-in limits do not compare it with what it read then.",
    );
    expect(formatCheckNote({ code: "spared", paths: ["7/mic", "8/mic"] })).toBe(
      "7/mic, 8/mic were out of line in the baseline round: the built-in limits do not compare them with what they read then.",
    );
  });
});
