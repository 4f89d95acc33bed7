import { describe, expect, it } from "vitest";
import { type PlannedPass, type PlannedPlay, planPasses } from "../../src/desk/passes.js";
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
    expect(sheetOf("outputs: 8\nbuses: group 1-8", some).sheet.only).toStrictEqual(some);
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
    expect(text.split("\n").filter((line) => line.length > 80)).toStrictEqual([]);
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

describe("the sheet of a few passes", () => {
  // 0 dBu is √0.6 V, 0.7746 V; +4 dBu is 1.228 V, −40 dBu 7.746 mV.
  const deskOf = (more = "") =>
    parseDesk(
      `name: x\nmains: 50\nstrips: 4\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\n${more}`,
      "desk.yaml",
    );
  const play = (name: string, output: number, more: Partial<PlannedPlay> = {}): PlannedPlay => {
    const [strip, input] = name.split("/");
    return { output, path: name, strip, input, ...more };
  };
  const pass = (
    number: number,
    use: PlannedPass["use"],
    ...plays: readonly PlannedPlay[]
  ): PlannedPass =>
    ({ number, use, form: "turns", outputs: [1, 2, 3], plays }) as unknown as PlannedPass;
  const build = (
    passes: readonly PlannedPass[],
    more: object = {},
    desk: ReturnType<typeof deskOf> = deskOf(),
  ) =>
    buildPassSheet(
      desk,
      { passes, left: ["4/line"] },
      {
        profile: "standard",
        sampleRate: 44_100,
        table,
        paths: desk.paths,
        fileOf: ({ number }) => ({ file: `${number}.wav`, lengthS: 40 }),
        ...more,
      },
    );

  it("has a pad only where it is patched by hand and the level asks for one", () => {
    const plays = [play("1/mic", 1), play("2/line", 2)];
    const [{ plays: hand }] = build([pass(1, "hand", ...plays)]).passes;
    // From +4 dBu to −40 dBu.
    expect(hand.map(({ padDb }) => padDb)).toStrictEqual([44, undefined]);
    expect(hand[1]).not.toHaveProperty("padDb");
    expect(hand[0].nominalDbu).toBe(-40);
    expect(hand[0].nominalVolts).toBeCloseTo(Math.sqrt(0.6) / 100, 12);
    expect(hand[1].nominalVolts).toBeCloseTo(1.2277, 3);
    const [{ plays: wired }] = build([pass(1, "wired", ...plays)]).passes;
    expect(wired[0]).not.toHaveProperty("padDb");
  });

  it("has the inputs that are played, in the order of the desk, with level and pad", () => {
    const { inputs } = build([pass(1, "hand", play("1/line", 1), play("2/mic", 2))]);
    expect(inputs).toMatchObject([{ name: "mic", padDb: 44 }, { name: "line" }]);
    expect(inputs[1]).not.toHaveProperty("padDb");
    expect(inputs[1].nominalVolts).toBeCloseTo(1.2277, 3);
    const alone = build([pass(1, "hand", play("1/line", 1))]).inputs;
    expect(alone.map(({ name }) => name)).toStrictEqual(["line"]);
  });

  it("says on which bus and channel each comes back, and which come back together", () => {
    const { passes, steps } = build([
      pass(1, "hand", play("1/line", 1, { bus: "A", channel: 0 }), play("2/line", 2)),
      pass(
        2,
        "hand",
        play("1/mic", 1, { channel: 3 }),
        play("2/mic", 2, { channel: 0 }),
        play("3/mic", 3, { channel: 3 }),
      ),
    ]);
    const [[first, second]] = passes.map(({ plays }) => plays);
    expect(first).toMatchObject({ bus: "A", channel: 1 });
    expect(second).not.toHaveProperty("bus");
    expect(second).not.toHaveProperty("channel");
    expect(passes.map(({ together }) => together)).toStrictEqual([[], [["1/mic", "3/mic"]]]);
    expect(passes.map(({ open }) => open)).toStrictEqual([
      ["1", "2"],
      ["1", "2", "3"],
    ]);
    expect(steps.join("\n")).toContain("Several strips are open on one channel at once");
  });

  it("has steps for what the passes ask of the hands, and for nothing else", () => {
    const plain = build([pass(1, "hand", play("1/line", 1, { channel: 0 }))]).steps.join("\n");
    expect(plain).toContain("at 44.1 kHz");
    expect(plain).toContain("Mute all others.");
    expect(plain).toContain("open the strips named, mute all others");
    expect(plain).toContain("Record the mix output (+4 dBu) on one channel");
    for (const absent of ["Several strips", "phantom power", "If a pass says so"]) {
      expect(plain).not.toContain(absent);
    }
    const mixed = build([
      pass(1, "hand", play("1/line", 1)),
      pass(2, "split", play("2/mic", 2)),
    ]).steps.join("\n");
    expect(mixed).toContain("Keep phantom power off");
    const buses = deskOf("outputs: 3\nbuses: group 1-2\n");
    const routed = build([pass(1, "hand", play("1/line", 1))], {}, buses).steps.join("\n");
    expect(routed).toContain("take them off group 1 to group 2:");
    expect(routed).toContain("route the strips named, take all others off the buses");
    const { sheet: ahead } = sheetOf("outputs: 8\nbuses: group 1-8");
    expect(ahead.passes.map(({ isAhead = false }) => isAhead).slice(0, 2)).toStrictEqual([
      false,
      true,
    ]);
    expect(ahead.steps.join("\n")).toContain(
      "keep its strips off the buses, touch no strip that is open, and change routes only",
    );
  });

  it.each([
    [4, "+4 dBu"],
    [0, "(0 dBu)"],
    [-10, "(-10 dBu)"],
  ])("records a mix of %d dBu as %s", (referenceDbu, words) => {
    const desk = { ...deskOf(), referenceDbu };
    expect(build([pass(1, "hand", play("1/line", 1))], {}, desk).steps.join("\n")).toContain(words);
  });

  it("has keys only of what there is, and counts the paths that it plays", () => {
    const passes = [pass(1, "hand", play("1/line", 1), play("2/line", 2))];
    const bare = build(passes);
    for (const key of ["dangers", "only", "isRetest"]) expect(bare).not.toHaveProperty(key);
    expect(bare.left).toStrictEqual(["4/line"]);
    expect(bare.single).toMatchObject({ plugs: 2, plays: 2 });
    expect(bare.work).toMatchObject({ plays: 1 });
    const dangers = [{ note: "n1" }];
    const full = build(passes, { dangers, only: ["1/line"], isRetest: true });
    expect(full).toMatchObject({ dangers, only: ["1/line"], isRetest: true });
  });
});
