import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { parseStripDown } from "../../../src/desk/strip-down/read-strip-down.js";
import type { Cause } from "../../../src/diagnose/types.js";
import type { RoundPath } from "../../../src/history/types.js";
import { renderPlanHtml } from "../../../src/report/plan/html.js";
import { renderPlanMarkdown } from "../../../src/report/plan/markdown.js";
import { renderPlan } from "../../../src/report/plan/text.js";
import { wordPlan } from "../../../src/report/plan/word-plan.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { makePlan } from "../../../src/service/plan/plan.js";
import { path as healthy, round } from "../limits/rounds.js";

const desk = parseDesk(
  `name: The Quillmere desk
mains: 50
strips: 8
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
construction: { open: 30, pull: 20 }
`,
  "desk.yaml",
);
const book = parseStripDown(
  `boards:
  mic board:
    stages: [mic socket, mic input stage, mic side of the input switch]
    controls: [gain]
    minutes: 8
    fixings: 2x M3x8
    tools: [PZ1 screwdriver]
    steps: [slide the mic board out]
  line board:
    stages: [line socket, line input stage, line side of the input switch]
    after: mic board
    minutes: 10
    fixings: [4x M3x8, 1x M4 nut]
    tools: [PZ1 screwdriver, 7 mm nut driver]
    people: 2
    steps: [lift the line board out]
  main board:
    stages: [low-cut, equaliser, insert jack, pan and bus resistors]
    minutes: 25
    steps: [never mind the main board]
  fader:
    controls: [fader]
    stages: [fader]
    steps: [tilt the fader out]
`,
  "strip-down.yaml",
  desk,
);
const finding = {
  reading: "hiss",
  against: "siblings",
  value: -70,
  expected: -80,
  deviation: 10,
  unit: "dB",
  score: 20,
  severity: "service",
  words: "hiss 10 dB above its siblings",
} as const;
const ailing = (path: string, id: string): RoundPath => ({
  ...healthy({ path, readings: {} }),
  findings: [finding],
  causes: [
    { cause: id, name: id, kind: "fault", probability: 0.9, evidence: [], confirmBy: "look" },
  ] satisfies Cause[],
});
const noted = (...texts: readonly string[]) =>
  parseNotebook(
    Buffer.from(
      texts
        .map((text, k) =>
          JSON.stringify({
            note: 1,
            id: `n${k + 1}`,
            date: "2031-03-14T12:00:00Z",
            kind: "fault",
            strip: "5",
            text,
          }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );
const plan = (paths: readonly RoundPath[] | undefined, notebook = noted()) =>
  wordPlan(
    makePlan({
      desk,
      round: paths && round(paths),
      notebook,
      done: new Map(),
      book,
      date: "2031-06-01",
    }),
  );
const boardsOf = (found: ReturnType<typeof plan>) =>
  found.steps.flatMap((step) => (step.kind === "strip" ? step.items : [])).map((i) => i.boards);

describe("the board of an item", () => {
  it("is that of the stages which no sound input of the strip passes", () => {
    const [boards] = boardsOf(plan([ailing("3/mic", "noisy-device"), healthy({ path: "3/line" })]));
    expect(boards).toStrictEqual({
      names: ["mic board"],
      stages: ["mic socket", "mic input stage", "mic side of the input switch"],
    });
  });

  it("lies after the inputs join where all of them have it", () => {
    const found = plan([ailing("3/mic", "noisy-device"), ailing("3/line", "noisy-device")]);
    expect(boardsOf(found)[0]?.names).toStrictEqual(["main board", "fader"]);
  });

  it("is narrowed by what the cause's own circuit can be", () => {
    expect(
      boardsOf(plan([ailing("3/mic", "open-leg"), healthy({ path: "3/line" })]))[0],
    ).toStrictEqual({
      names: ["mic board"],
      stages: ["mic socket", "mic input stage"],
    });
    expect(boardsOf(plan(undefined, noted("insert intermittent")))[0]?.names).toStrictEqual([
      "main board",
    ]);
  });

  it("is the one on which the book has the control", () => {
    expect(boardsOf(plan(undefined, noted("fader scratchy")))[0]?.names).toStrictEqual(["fader"]);
    expect(boardsOf(plan(undefined, noted("gain pot crackles")))[0]?.names).toStrictEqual([
      "mic board",
    ]);
  });

  it("is unknown of what only shows, and none comes out for it", () => {
    const found = plan(undefined, noted("LED dark"));
    expect(boardsOf(found)).toStrictEqual([{ names: [], stages: [] }]);
    expect(renderPlan(found, { colour: "none", width: 80 })).toContain("not in strip-down.yaml");
    expect(renderPlan(found, { colour: "none", width: 80 })).not.toContain("take out the");
  });

  it("may be any of the strip's where nothing tells them apart", () => {
    expect(boardsOf(plan(undefined, noted("dead")))[0]?.names).toStrictEqual([
      "mic board",
      "line board",
      "main board",
      "fader",
    ]);
  });
});

describe("a plan with a strip-down book", () => {
  const found = plan([
    ailing("3/line", "noisy-device"),
    healthy({ path: "3/mic" }),
    ailing("6/mic", "noisy-device"),
    healthy({ path: "6/line" }),
  ]);
  const forms = {
    text: renderPlan(found, { colour: "none", width: 80 }).replace(/\s+/g, " "),
    Markdown: renderPlanMarkdown(found),
    HTML: renderPlanHtml(found),
  };

  it.each(Object.entries(forms))(
    "prints the steps of the boards it needs alone, as %s",
    (_, text) => {
      expect(text).toContain("slide the mic board out");
      expect(text).toContain("lift the line board out");
      expect(text).not.toContain("never mind the main board");
      expect(text).not.toContain("tilt the fader");
      expect(text.split("slide the mic board out")).toHaveLength(2);
    },
  );

  it("takes off first what lies before a board", () => {
    const strips = found.steps.flatMap((step) => (step.kind === "strip" ? [step] : []));
    expect(
      strips.map(({ strip, boards, pullMinutes }) => [strip, boards, pullMinutes]),
    ).toStrictEqual([
      ["3", ["mic board", "line board"], 18],
      ["6", ["mic board"], 8],
    ]);
    // 30 open, 18 and 8 for the boards, 2 × 2 inputs tested, 2 × 30 at the bench
    expect(found.minutes).toBe(30 + 18 + 8 + 4 + 60);
  });

  it("adds up tools, hands and fixings", () => {
    expect(forms.text.split("[ ] PZ1 screwdriver")).toHaveLength(2);
    expect(forms.text).toContain("7 mm nut driver");
    expect(forms.text).toContain("a second person, for line board");
    // two mic boards and a line board: 2 × 2 + 4
    expect(forms.text).toContain("8 × M3x8, 1 × M4 nut");
  });

  it("fits the width, of however many strips a board comes out", () => {
    const all = plan(desk.strips.map((strip) => ailing(`${strip}/mic`, "device-noise")));
    const lines = renderPlan(all, { colour: "none", width: 60 }).split("\n");
    expect(lines).toContain("How the mic board comes out (strips 1, 2, 3, 4, 5, 6, 7, 8),");
    expect(lines.filter((line) => line.length > 60)).toStrictEqual([]);
  });
});

describe("the boards of a section", () => {
  const withBus = parseStripDown(
    `open: { steps: raise the front panel, people: 2 }
boards:
  meter hood: { sections: [master, group 1-4], steps: lift the hood off }
  bus board:
    sections: master
    after: meter hood
    minutes: 40
    steps: tilt the bus board forwards
    fixings: 8x M4x10
    tools: PZ2 screwdriver
`,
    "strip-down.yaml",
    desk,
  );
  const at = (section: string, sectionKind: string, text: string) =>
    wordPlan(
      makePlan({
        desk,
        book: withBus,
        round: undefined,
        notebook: parseNotebook(
          Buffer.from(
            `${JSON.stringify({ note: 1, id: "n1", date: "2031-03-14T12:00:00Z", kind: "fault", section, sectionKind, text })}\n`,
          ),
          "notebook.jsonl",
        ),
        done: new Map(),
        date: "2031-06-01",
      }),
    );

  it("belong to no strip unless the book says so", () => {
    expect(
      withBus.boards.map(({ strips, sections }) => [strips.length, sections.length]),
    ).toStrictEqual([
      [0, 5],
      [0, 1],
    ]);
  });

  it("are printed where a job is there, what comes off first before them", () => {
    const found = at("master", "master", "left side crackles");
    expect(found.places?.[0].boards?.map(({ name }) => name)).toStrictEqual([
      "meter hood",
      "bus board",
    ]);
    for (const text of [
      renderPlan(found, { colour: "none", width: 80 }),
      renderPlanHtml(found),
      renderPlanMarkdown(found),
    ]) {
      const words = text.replace(/\s+/g, " ");
      for (const part of [
        "wait 5 minutes",
        "each must be below 1 V",
        "raise the front panel",
        "lift the hood off",
        "tilt the bus board forwards",
        "deskround opening off master bus board",
        "8 × M4x10",
        "PZ2 screwdriver",
      ])
        expect(words).toContain(part);
    }
    const group = renderPlan(at("group 2", "group", "crackles"), { colour: "none", width: 80 });
    expect(group).toContain("lift the hood off");
    expect(group).not.toContain("tilt the bus board");
  });

  it("name the section that a book has and the desk has not", () => {
    const read = (sections: string) =>
      parseStripDown(`boards:\n  b: { sections: ${sections} }\n`, "strip-down.yaml", desk);
    expect(() => read("zork 3")).toThrow(/line 2: the desk has no section "zork 3"/);
    expect(() => read("3")).toThrow(/"3" is not a section/);
  });
});
