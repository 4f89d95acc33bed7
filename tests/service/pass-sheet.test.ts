import { describe, expect, it } from "vitest";
import { planPasses } from "../../src/desk/passes.js";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { renderPassSheetHtml } from "../../src/report/sheet/pass-html.js";
import { renderPassSheetMarkdown } from "../../src/report/sheet/pass-markdown.js";
import { renderPassSheetText } from "../../src/report/sheet/pass-text.js";
import { buildPassSheet } from "../../src/service/pass-sheet.js";
import { buildRunSheet } from "../../src/service/run-sheet.js";
import { buildPassSignal } from "../../src/signal/pass-signal.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";

// Expected values: counted by hand from the desk file; times are those of the plain run sheet and of
// the signals that are played.

const table = buildSignalTable("standard", "base");

function sheetOf(more: string, only?: readonly string[]) {
  const desk = parseDesk(
    `name: The Quillmere desk
mains: 50
strips: 1-40
order: fewest
inputs:
  mic: { nominal: -40, setup: Mic selected., set: { gain: 44 dB } }
  line: { nominal: 4, setup: Line selected., set: { gain: 0 dB } }
  tape: { nominal: 4, set: { gain: 0 dB } }
controls:
  gain: knob
  fader: { kind: fader, set: at its mark }
${more}
`,
    "desk.yaml",
  );
  const paths =
    only === undefined ? desk.paths : desk.paths.filter(({ path }) => only.includes(path));
  const sheet = buildPassSheet(desk, planPasses(desk, paths), {
    profile: "standard",
    sampleRate: 48_000,
    table,
    paths,
    ...(only === undefined ? {} : { only }),
    fileOf: ({ form, plays }) => ({
      file: `${form}.wav`,
      lengthS: buildPassSignal("standard", "base", new Array(plays.length).fill(true), form)
        .lengthS,
    }),
  });
  return { desk, sheet };
}

describe("the run sheet of passes", () => {
  it("names the paths where it is of some alone", () => {
    const some = ["1/mic", "2/mic"];
    expect(sheetOf("outputs: 8\nbuses: group 1-8", some).sheet.only).toEqual(some);
    expect(sheetOf("outputs: 8\nbuses: group 1-8").sheet.only).toBeUndefined();
  });

  it("says what playing the same paths one by one would cost", () => {
    const { desk, sheet } = sheetOf("outputs: 8\nbuses: group 1-8");
    const plain = buildRunSheet(desk, table, { sampleRate: 48_000, file: "plain.wav" });
    expect(sheet.single.totalS).toBeCloseTo(plain.totalS, 6);
    expect(sheet.single).toMatchObject({ plugs: 120, plays: 120 });
    expect(sheet.work).toMatchObject({ plugs: 120, plays: 30 });
    // Three turns, two pauses, and steps of 6.25 ms between those of a turn.
    const playS = 3 * table.lengthS + 2;
    const hands = sheet.passes.reduce((sum, { handsS }) => sum + handsS, 0);
    expect(sheet.work.handsS).toBe(hands);
    // Patched while the one before plays, but for the first: plugs, routes and controls.
    const { isAhead: first, handsS: firstS } = sheet.passes[0];
    expect(first).toBeUndefined();
    expect(sheet.passes.slice(1).every(({ isAhead }) => isAhead)).toBe(true);
    expect(sheet.work.totalS).toBeGreaterThan(firstS + 30 * playS);
    expect(sheet.work.totalS).toBeLessThan(hands + 3 * playS);
    expect(sheet.work.totalS).toBeLessThan(0.6 * sheet.single.totalS);
  });

  it("asks nothing of the hands for wired paths but to start the play, once they are set", () => {
    const wired = [1, 2, 3, 4, 5, 6, 7, 8].map((strip) => `${strip}/tape`);
    const { sheet } = sheetOf("outputs: [1-8/tape]\nbuses: group 1-8", wired);
    expect(sheet.passes).toHaveLength(1);
    expect(sheet.work.plugs).toBe(0);
    const [{ handsS, playS }] = sheet.passes;
    // Eight strips routed and two controls looked at, 2 s each; 4 s for the play.
    expect(handsS).toBe(8 * 2 + 8 * 2 * 2 + 4);
    expect(playS).toBeLessThan(45);
  });

  it("says on which channels the buses are recorded", () => {
    const { sheet } = sheetOf("outputs: 8\nbuses: group 1-8");
    expect(sheet.steps.join("\n")).toContain(
      "Record 8 channels: group 1 on channel 1 to group 8 on channel 8.",
    );
  });

  it("is printed with its cautions, levels, plugs and routes, in 80 columns", () => {
    const { sheet } = sheetOf("outputs: 8\nbuses: group 1-8");
    const text = renderPassSheetText(sheet);
    expect(text.split("\n").filter((line) => line.length > 80)).toEqual([]);
    expect(text).toMatch(/BEFORE ANYTHING PLAYS\n {2}! {2}Mute the monitors/);
    expect(text).toMatch(/Switch phantom power off/);
    expect(text).toMatch(/a healthy path returns about\s+-18\s+dBFS/);
    expect(text).toMatch(/output 1 -> \S+ .*: strip \d+, \w+ socket/);
    expect(text).toMatch(/route\s+to\s+group 1; comes\s+back\s+on\s+channel 1/);
    expect(text).toMatch(/through\s+the\s+44\s+dB\s+pad/);
    for (const other of [renderPassSheetMarkdown(sheet), renderPassSheetHtml(sheet)]) {
      expect(other).toMatch(/Mute the monitors/);
      expect(other).toMatch(/group 8/);
    }
  });
});
