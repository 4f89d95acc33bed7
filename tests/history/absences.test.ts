import { describe, expect, it } from "vitest";
import { getAbsence, getAbsences, toStoredAbsences } from "../../src/history/absences.js";
import { getReason } from "../../src/history/get-reason.js";

// Expected: what docs/files.md says of `absent` and `absences`: the words of before, and the same as data.

const hidden = { code: "input-not-calibrated" } as const;

describe("why a stored reading could not be made", () => {
  it("is what the data say, or else the words of before as they stand", () => {
    const both = { absent: { hum: "no silence", thd: "too noisy" }, absences: { hum: hidden } };
    expect(getAbsence(both, "hum")).toEqual(hidden);
    expect(getAbsence(both, "thd")).toEqual({ code: "as-recorded", reason: "too noisy" });
    expect(getAbsence(both, "gain")).toBeUndefined();
    expect(getAbsence({ absent: { hum: "no silence" } }, "hum")).toEqual({
      code: "as-recorded",
      reason: "no silence",
    });
  });

  it("is told of all that either names, each once", () => {
    const stored = {
      absent: { hum: "no silence", thd: "too noisy" },
      absences: { hum: hidden, gain: hidden },
    };
    expect(getAbsences(stored)).toEqual({
      hum: hidden,
      thd: { code: "as-recorded", reason: "too noisy" },
      gain: hidden,
    });
    expect(getAbsences({ absent: {} })).toEqual({});
    expect(getAbsences(toStoredAbsences({ gain: hidden }))).toEqual({ gain: hidden });
  });
});

describe("why a path was not measured", () => {
  it.each([
    [{}],
    [{ reason: "no return" }],
    [{ because: { code: "nothing-back" as const } }],
    [{ reason: "no return", because: { code: "nothing-back" as const } }],
  ])("is as much as was stored of it, %j", (given) => {
    expect(getReason({ ...given, path: "1/mic" } as never)).toStrictEqual(given);
  });
});
