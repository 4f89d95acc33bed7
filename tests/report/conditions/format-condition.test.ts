import { describe, expect, it } from "vitest";
import { addNotes, formatCondition } from "../../../src/report/conditions/format-condition.js";

describe("formatCondition", () => {
  it("counts the paths that a partial round was asked for", () => {
    const partial = (paths: number) =>
      formatCondition({ code: "partial", round: "2030-01-02-01", paths });
    expect(partial(1)).toMatch(/only the path that was asked for is compared/);
    expect(partial(2)).toMatch(/only the 2 paths that were asked for are compared/);
  });

  it("says what another rate, level or mains leaves out", () => {
    const rate = { code: "other-rate", thenHz: 44_100, nowHz: 96_000 } as const;
    expect(formatCondition({ ...rate, band: "same" })).toMatch(
      /^Recorded at 44\.1 kHz then and at 96 kHz now: .* as far as both reach\.$/,
    );
    expect(formatCondition({ ...rate, band: "other" })).toMatch(/the high corner not at all\.$/);
    expect(formatCondition({ code: "other-level", thenDbfs: -18, nowDbfs: -12 })).toMatch(
      /at -18 dBFS then and at -12 dBFS now/,
    );
    expect(formatCondition({ code: "other-mains", thenHz: 50, nowHz: 60 })).toMatch(
      /^The mains were 50 Hz then and are 60 Hz now/,
    );
  });

  it("says what passes leave out", () => {
    const both = { code: "both-in-passes", together: 2, otherWay: 1 } as const;
    expect(formatCondition(both)).toBe(
      "Noise, hum and clicks of 2 paths were measured on several strips together and are not compared. 1 path used another output or channel than before: levels may differ by as much as these do.",
    );
    expect(formatCondition({ ...both, together: 0 })).toMatch(/^1 path used/);
    expect(formatCondition({ ...both, otherWay: 0 })).toMatch(/not compared\.$/);
    const one = { code: "one-in-passes", round: "2031-05-01-01", together: 0 } as const;
    expect(formatCondition(one)).toBe(
      "Only round 2031-05-01-01 was played in passes: levels may differ by as much as outputs and buses do.",
    );
  });

  it("says which way the level went where trends restart", () => {
    const step = (db: number) =>
      formatCondition({
        code: "new-epoch",
        round: "2031-05-01-01",
        because: { code: "level-step", db },
      });
    expect(step(-3.04)).toMatch(/^Before round 2031-05-01-01 .* by −3\.0 dB, .*: trends restart/);
    expect(step(3.04)).toMatch(/by \+3\.0 dB/);
  });

  it("stands beside the data as notes", () => {
    const conditions = [{ code: "one-calibrated", round: "2031-05-01-01" }] as const;
    expect(addNotes({ conditions })).toEqual({
      conditions,
      notes: [expect.stringMatching(/^Only round 2031-05-01-01 is calibrated/)],
    });
  });
});
