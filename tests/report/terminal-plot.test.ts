import { describe, expect, it } from "vitest";
import { getTerminalLetters } from "../../src/cli/output.js";
import { buildOctaveGrid } from "../../src/dsp/octave-grid.js";
import type { Curve } from "../../src/measure/types.js";
import { computeFamilyStats } from "../../src/rank/family-stats.js";
import { renderTerminalPlot } from "../../src/report/terminal-plot.js";

const plain = { colour: "none", width: 80 } as const;

function response(at: (hz: number) => number): Curve {
  const x = buildOctaveGrid(24, 20, 20_000);
  return { x, y: x.map(at), uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" };
}

const flat = response(() => 0);
/** A first-order high-pass at 100 Hz: −3.01 dB there, −14.2 dB at 20 Hz. */
const cut = response((hz) => -10 * Math.log10(1 + (100 / hz) ** 2));
const usual = computeFamilyStats(
  ["1/mic", "2/mic", "3/mic"].map((path) => ({
    path,
    measurement: { readings: {}, absent: {}, curves: { response: flat } },
  })),
);

describe("a response drawn in characters", () => {
  it.each(["unicode", "ascii"] as const)("keeps within 80 columns in %s", (letters) => {
    const text = renderTerminalPlot(
      { path: "7/mic", curves: { response: cut }, absent: {} },
      usual,
      plain,
      letters,
    );
    for (const line of text.split("\n")) expect([...line].length).toBeLessThanOrEqual(80);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: what a terminal would act upon
    expect(text).not.toMatch(/[\x00-\x09\x0b-\x1f]/);
    if (letters === "ascii") expect(text.replaceAll("−", "-")).toMatch(/^[\n -~]*$/);
  });

  it("draws −3 dB of a first-order high-pass in the column of its corner", () => {
    const lines = renderTerminalPlot(
      { path: "7/mic", curves: { response: cut }, absent: {} },
      usual,
      plain,
      "ascii",
    ).split("\n");
    // 71 columns for 19.95 Hz to 19.95 kHz: 100 Hz is 0.2333 of the way.
    const column = 8 + Math.round(0.2333 * 70);
    const row = lines.findIndex((line) => line[column] === "*");
    const zero = lines.findIndex((line) => line.startsWith("     0 |"));
    const ten = lines.findIndex((line) => line.startsWith("   −10 |"));
    const rowsPerDb = (ten - zero) / 10;
    expect(Math.abs(row - zero - 3.01 * rowsPerDb)).toBeLessThanOrEqual(1);
  });

  it("says why there is none", () => {
    const text = renderTerminalPlot(
      { path: "7/mic", curves: {}, absent: {} },
      usual,
      plain,
      "unicode",
    );
    expect(text).toContain("none: the signal has no sweep");
  });
});

describe("what a terminal can show", () => {
  it("is decided by the first language setting that is set", () => {
    expect(getTerminalLetters({ LC_ALL: "C", LANG: "de_DE.UTF-8" }, "linux")).toBe("ascii");
    expect(getTerminalLetters({ LC_ALL: "", LANG: "de_DE.UTF-8" }, "linux")).toBe("unicode");
    expect(getTerminalLetters({}, "linux")).toBe("ascii");
    expect(getTerminalLetters({ TERM: "dumb", LANG: "C.UTF-8" }, "linux")).toBe("ascii");
  });
});
