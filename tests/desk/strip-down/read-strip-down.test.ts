import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { parseStripDown } from "../../../src/desk/strip-down/read-strip-down.js";

const desk = parseDesk(
  `name: The Quillmere desk
mains: 50
strips: 8
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
construction:
  parts:
    left panel: { strips: 1-4, minutes: 10 }
`,
  "desk.yaml",
);
const read = (text: string) => parseStripDown(text, "strip-down.yaml", desk);

const whole = `version: 1
open:
  steps: [lift the armrest]
  fixings: 12x M4x10 pan head
  tools: [PZ2 screwdriver]
  people: 2
boards:
  mic board:
    strips: 1-4
    stages: [mic socket, Mic Input Stage]
    controls: gain
    after: left panel
    minutes: 8
    steps: [slide it out]
    fixings: [2x M3x8, 1 × washer 3.2]
    tools: [PZ1 screwdriver]
    knobs: gain
    connectors: [CN1, CN2]
    ties: one at the ribbon
    weight: 0,4 kg
    people: 1
    photos: [mic-board.jpg]
    extender: 16-way ribbon
    capacitors: [6x 22 µF 35 V]
  main board:
    after: [mic board]
`;

describe("parseStripDown", () => {
  it("reads all that a board can say", () => {
    const { open, boards } = read(whole);
    expect(open).toEqual({
      steps: ["lift the armrest"],
      fixings: [{ count: 12, what: "M4x10 pan head" }],
      tools: ["PZ2 screwdriver"],
      people: 2,
      photos: [],
    });
    expect(boards[0]).toEqual({
      name: "mic board",
      strips: ["1", "2", "3", "4"],
      sections: [],
      stages: ["mic socket", "mic input stage"],
      controls: ["gain"],
      after: ["left panel"],
      minutes: 8,
      steps: ["slide it out"],
      fixings: [
        { count: 2, what: "M3x8" },
        { count: 1, what: "washer 3.2" },
      ],
      tools: ["PZ1 screwdriver"],
      knobs: ["gain"],
      connectors: ["CN1", "CN2"],
      ties: ["one at the ribbon"],
      weightKg: 0.4,
      people: 1,
      photos: ["mic-board.jpg"],
      extender: "16-way ribbon",
      capacitors: [{ count: 6, what: "22 µF 35 V" }],
    });
    expect(boards[1].strips).toEqual(desk.strips);
  });

  const board = (line: string) => `boards:\n  mic board:\n    ${line}\n`;
  it.each([
    ["", /is empty/],
    ["- a", /line 1: not a strip-down book/],
    ["boards:\n", /line 1: "boards" names no board/],
    ["board:\n  x: {}\n", /line 1: "board" is not a key.*Did you mean boards/s],
    [board("connecters: [CN1]"), /line 3: "connecters" is not a key.*Did you mean connectors/s],
    [board("stages: [mic soket]"), /line 3: the desk has no stage "mic soket".*mic socket/s],
    [board("strips: 7-12"), /line 3: the desk has no strip 9/],
    [board("controls: [gian]"), /line 3: the desk has no control "gian".*gain/s],
    [board("after: left pannel"), /line 3: the desk has no board or part.*left panel/s],
    [board("minutes: soon"), /line 3: "minutes" is "soon"; allowed: a number of minutes/],
    [board("minutes: -1"), /line 3: "minutes"/],
    [board("weight: 9000"), /line 3: "weight" is "9000"; allowed: kilograms/],
    [board("people: none"), /line 3: "people"/],
    [board("fixings: [M3x8]"), /line 3: "M3x8" does not say how many.*4x M3x8/s],
    [board("fixings:\n      - 2x M3\n      - 0x M4"), /line 5: "0x M4" does not say how many/],
    [board("steps: [{ a: b }]"), /line 3: "steps" should be a list of texts/],
    [board("tools: &a [x]\n    knobs: *a"), /line 4: anchors/],
    [board("after: mic board"), /line 3: the desk has no board/],
    [
      "boards:\n  a: { after: b }\n  b: { after: c }\n  c: { after: a }\n",
      /come off before another: a, then b, then c, then a/,
    ],
    ["boards:\n  Main: {}\n  main: {}\n", /line 3: boards Main and main differ only in capitals/],
    ["boards:\n  a: {}\n  a: {}\n", /line 3: "a" is there twice/],
    ["version: 2\nboards:\n  a: {}\n", /line 1: this version/],
  ])("refuses %j by its line", (text, words) => {
    let message = "";
    try {
      read(text);
    } catch (error) {
      const { message: said, hint } = error as { message: string; hint?: string };
      message = `${said} ${hint ?? ""}`;
    }
    expect(message).toMatch(/^strip-down\.yaml/);
    expect(message).toMatch(words);
  });
});
