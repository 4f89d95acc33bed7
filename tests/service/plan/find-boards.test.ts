import { describe, expect, it } from "vitest";
import type { StripDownBoard, StripDownBook } from "../../../src/desk/strip-down/types.js";
import type { Desk } from "../../../src/desk/types.js";
import type { Cause } from "../../../src/diagnose/types.js";
import type { RoundPath } from "../../../src/history/types.js";
import { findItemBoards, listOutOrder } from "../../../src/service/plan/find-boards.js";
import { path, round } from "../limits/rounds.js";

// The stages of the two inputs, and what board each lies on, are given here; which stage a control or
// a cause sits in is in `controlRoles` and the causes' own files.

const ends = ["low-cut", "equaliser", "fader", "pan"];
const stages = {
  mic: ["mic socket", "mic input stage", ...ends],
  line: ["line socket", "line input stage", ...ends],
};
const deskOf = (flow: Readonly<Record<string, readonly string[]>> = stages) =>
  ({ flow: { stages: flow, shared: [] } }) as unknown as Desk;
const board = (name: string, parts: Partial<StripDownBoard> = {}) =>
  ({
    name,
    strips: ["3", "4"],
    sections: [],
    stages: [],
    controls: [],
    after: [],
    capacitors: [],
    steps: [],
    ...parts,
  }) as unknown as StripDownBoard;
const boards = [
  board("mic board", { stages: ["mic socket", "mic input stage"], controls: ["Gain"] }),
  board("line board", { stages: ["line socket", "line input stage"] }),
  board("eq board", { stages: ["low-cut", "equaliser"], controls: ["eq high", "low cut"] }),
  board("out board", { stages: ["fader", "pan"], controls: ["fader", "equaliser"] }),
  board("strange", { strips: ["9"], stages: ["fader"], controls: ["fader", "gain"] }),
];
const all = ["mic board", "line board", "eq board", "out board"];
const noisy: Cause = {
  cause: "noisy-device",
  name: "noisy",
  kind: "fault",
  probability: 0.9,
  evidence: [],
  confirmBy: "look",
};
const find = (
  cause: string,
  parts: { inputs?: readonly string[]; paths?: readonly string[] } = {},
  {
    paths,
    desk = deskOf(),
    own = boards,
  }: { paths?: readonly RoundPath[]; desk?: Desk; own?: readonly StripDownBoard[] } = {},
) =>
  findItemBoards(
    { strip: "3", cause, inputs: [], paths: [], ...parts },
    desk,
    { boards: own } as unknown as StripDownBook,
    paths && round(paths),
  );

describe("the board of a control", () => {
  it.each([
    ["control-fader", ["out board"]],
    ["control-eq-high", ["eq board"]],
    ["control-low-cut", ["eq board"]],
    // Another word for the same
    ["control-high-pass", ["eq board"]],
    ["control-eq", ["out board"]],
    ["worn-gain-control", ["mic board"]],
  ])("%s is the one that the book has it on", (cause, names) => {
    expect(find(cause)).toStrictEqual({ names, stages: [] });
  });

  it.each([
    // One of several bands, and the book has another of them: by its stage.
    ["control-eq-low", { names: ["eq board"], stages: ["equaliser"] }],
    ["control-pan", { names: ["out board"], stages: ["pan"] }],
    ["control-fader-3", { names: ["out board"], stages: ["fader"] }],
    [
      "control-pad",
      { names: ["mic board", "line board"], stages: ["mic input stage", "line input stage"] },
    ],
    [
      "control-phantom",
      {
        names: ["mic board", "line board"],
        stages: ["mic socket", "line socket", "mic input stage", "line input stage"],
      },
    ],
    [
      "control-polarity",
      { names: ["mic board", "line board"], stages: ["mic input stage", "line input stage"] },
    ],
    ["control-mute", { names: ["out board"], stages: ["fader"] }],
    // No meter, lamp, and nobody knows where
    ["control-meter", { names: [], stages: [] }],
    ["control-lamp", { names: [], stages: [] }],
    ["meter-or-lamp", { names: [], stages: [] }],
  ])("%s lies at its stage where the book has it on none", (cause, place) => {
    expect(find(cause)).toStrictEqual(place);
  });

  it("is a meter's where a stage is one", () => {
    const desk = deskOf({ mic: ["mic input stage", "meter amplifier"] });
    const own = [...boards, board("bridge", { stages: ["meter amplifier"] })];
    for (const cause of ["control-lamp", "meter-or-lamp"]) {
      expect(find(cause, {}, { desk, own })).toStrictEqual({
        names: ["bridge"],
        stages: ["meter amplifier"],
      });
    }
  });
});

describe("the boards of a cause", () => {
  const every = ["mic socket", "line socket", "mic input stage", "line input stage", ...ends];

  it("are all that its inputs pass, in signal order, where nothing says more", () => {
    for (const cause of ["noisy-device", "danger-n1", "not-clear", "control-thing"]) {
      expect(find(cause)).toStrictEqual({ names: all, stages: every });
      expect(find(cause, { inputs: ["line"] })).toStrictEqual({
        names: ["line board", "eq board", "out board"],
        stages: stages.line,
      });
      // An input that the desk has not, and a strip whose stages lie on no board
      expect(find(cause, { inputs: ["tape"] })).toStrictEqual({ names: all, stages: [] });
      expect(find(cause, {}, { desk: deskOf({ mic: ["valve"] }) })).toStrictEqual({
        names: all,
        stages: [],
      });
    }
    // A stage counts by the input in which it comes first.
    const bent = deskOf({ mic: ["mic socket", "equaliser", "fader"], line: ["fader"] });
    expect(find("not-clear", {}, { desk: bent }).stages).toStrictEqual([
      "mic socket",
      "fader",
      "equaliser",
    ]);
    // What lies on no board is left out.
    const some = deskOf({ mic: ["mic socket", "valve", "fader"] });
    expect(find("not-clear", {}, { desk: some })).toStrictEqual({
      names: ["mic board", "out board"],
      stages: ["mic socket", "fader"],
    });
  });

  it("are those where such a cause can sit", () => {
    expect(find("open-leg", { inputs: ["mic"] })).toStrictEqual({
      names: ["mic board"],
      stages: ["mic socket", "mic input stage"],
    });
    expect(find("send-or-pan-faulty")).toStrictEqual({ names: ["out board"], stages: ["pan"] });
    // No insert here: anywhere
    expect(find("dirty-insert-normal")).toStrictEqual({ names: all, stages: every });
  });

  const ill = (name: string, parts: Partial<RoundPath> = {}) =>
    path({ path: name, causes: [noisy], ...parts });
  const micOnly = { names: ["mic board"], stages: ["mic socket", "mic input stage"] };
  const at = (cause: string, paths: readonly RoundPath[], own: readonly string[] = ["3/mic"]) =>
    find(cause, { inputs: ["mic"], paths: own }, { paths });

  it("are those that no sound input of the strip passes", () => {
    const sound = path({ path: "3/line" });
    expect(at("noisy-device", [ill("3/mic"), sound])).toStrictEqual(micOnly);
    const open = { names: ["mic board", "eq board", "out board"], stages: stages.mic };
    // Not where the other was not measured, is another strip's, or the item is not of that path
    expect(at("noisy-device", [ill("3/mic"), { ...sound, status: "missing" }])).toStrictEqual(open);
    expect(at("noisy-device", [ill("3/mic"), { ...sound, strip: "4" }])).toStrictEqual(open);
    expect(at("noisy-device", [ill("3/mic"), sound], [])).toStrictEqual(open);
    expect(at("noisy-device", [])).toStrictEqual(open);
    // A danger may be anywhere, whatever the round says.
    expect(at("danger-n1", [ill("3/mic"), sound])).toStrictEqual(open);
  });

  it("are where such a cause can sit, though the round leaves other stages", () => {
    const paths = [ill("3/mic"), path({ path: "3/line" })];
    expect(at("open-leg", paths)).toStrictEqual(micOnly);
    expect(at("worn-gain-control", paths)).toStrictEqual({ names: ["mic board"], stages: [] });
    expect(at("equaliser-band-faulty", paths)).toStrictEqual({
      names: ["eq board"],
      stages: ["equaliser"],
    });
    // Nowhere: what the round leaves, but nothing of a lamp
    expect(at("dirty-insert-normal", paths)).toStrictEqual(micOnly);
    expect(at("meter-or-lamp", paths)).toStrictEqual({ names: [], stages: [] });
  });
});

describe("listOutOrder", () => {
  const chain = [
    board("main", { after: ["mic", "hood"] }),
    board("mic", { after: ["hood"] }),
    board("hood"),
    board("fader"),
  ];
  it.each([
    [["main"], ["hood", "mic", "main"]],
    [
      ["fader", "mic"],
      ["fader", "hood", "mic"],
    ],
    [
      ["mic", "main", "mic"],
      ["hood", "mic", "main"],
    ],
    [["nowhere", "hood"], ["hood"]],
    [[], []],
  ])("of %j is %j", (wanted, order) => {
    expect(listOutOrder(wanted, chain).map(({ name }) => name)).toStrictEqual(order);
  });
});
