import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { getAbsence, getAbsences } from "../../../src/history/absences.js";
import type { Absence } from "../../../src/measure/absence.js";
import {
  formatAbsence,
  formatAbsences,
  formatStoredAbsence,
} from "../../../src/report/absences/format-absence.js";

const clipped: Absence = { code: "converter-clipped" };

const worded: readonly (readonly [Absence, string])[] = [
  [{ code: "as-recorded", reason: "no hum was recorded" }, "no hum was recorded"],
  [{ code: "not-in-signal", part: "tone", profile: "quick" }, "the quick signal has no such tone"],
  [{ code: "not-in-signal", part: "sweep", profile: "quick" }, "the quick signal has no sweep"],
  [{ code: "not-in-capture", part: "silence" }, "the silence is not in the recording"],
  [{ code: "not-in-capture", part: "level-steps" }, "the level steps are not in the recording"],
  [{ code: "not-in-capture", part: "beginning" }, "its beginning is not in the recording"],
  [
    { code: "not-in-capture", part: "moves", control: "gain" },
    "the window of gain is not in the recording",
  ],
  [{ code: "of-undriven", because: clipped }, "the undriven channel: the converter clipped"],
  [{ code: "of-other-side", because: clipped }, "the other side: the converter clipped"],
  [
    {
      code: "nothing-clips",
      because: { code: "clipped-before-overload", aboveNominalDb: 17 },
    },
    "nothing clips: the converter clipped at +17 dB, before the path reached 1 % of distortion",
  ],
  [
    { code: "below-lowest-step", aboveNominalDb: -6 },
    "below −6 dB: more than 1 % of distortion already there",
  ],
  [{ code: "corner-beyond-sweep", end: "low", edgeHz: 7.72 }, "lies below 8 Hz"],
  [
    { code: "corner-beyond-sweep", end: "high", edgeHz: 20_265, isOtherShape: true },
    "lies above 20265 Hz: the high end is not shaped like a roll-off",
  ],
  [
    { code: "of-open-strips", strips: 4 },
    "4 strips were open at once, so it belongs to all of them together",
  ],
];

describe("why a reading could not be made", () => {
  it.each(worded)("is worded: %o", (absence, words) => {
    expect(formatAbsence(absence)).toBe(words);
  });

  it("has words for every code that measuring knows", () => {
    const source = readFileSync(
      fileURLToPath(new URL("../../../src/measure/absence.ts", import.meta.url)),
      "utf8",
    );
    const codes = [...source.matchAll(/\bcode: "([\w-]+)"/g)].map(([, code]) => code);
    expect(codes.length).toBeGreaterThan(30);
    for (const code of codes) {
      const facts = { code, part: "tone", of: "silence", where: "middle", end: "low" };
      const numbers = { belowDb: 1, aboveNominalDb: 1, edgeHz: 8, strips: 2, because: clipped };
      const words = formatAbsence({ ...facts, ...numbers, reason: "it was so" } as never);
      expect(words, code).toMatch(/\w \w/);
    }
  });

  it("is shown by its code where a later program wrote it", () => {
    expect(formatAbsence({ code: "of-the-future" } as never)).toBe("of-the-future");
  });
});

describe("a stored path", () => {
  it("of an earlier program keeps its own words", () => {
    const old = { absent: { hum: "no silence was recorded" } };
    expect(getAbsence(old, "hum")).toEqual({
      code: "as-recorded",
      reason: "no silence was recorded",
    });
    expect(getAbsence(old, "thd")).toBeUndefined();
    expect(formatStoredAbsence(old, "hum")).toBe("no silence was recorded");
    expect(formatStoredAbsence(old, "thd")).toBeUndefined();
  });

  it("is read by its data where it has some", () => {
    const stored = {
      absent: { hum: "some words", thd: "older words" },
      absences: { hum: clipped, noise: { code: "not-finite" } },
    } as const;
    expect(getAbsences(stored)).toEqual({
      hum: clipped,
      thd: { code: "as-recorded", reason: "older words" },
      noise: { code: "not-finite" },
    });
    expect(formatAbsences(getAbsences(stored))).toEqual({
      hum: "the converter clipped",
      thd: "older words",
      noise: "the result is not a finite number",
    });
  });
});
