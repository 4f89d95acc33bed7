import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { parseDesk, readDesk } from "../../../src/desk/read/read-desk.js";
import { formatStarterDesk } from "../../../src/desk/starter.js";
import type { Desk } from "../../../src/desk/types.js";
import { DeskroundError } from "../../../src/errors.js";

const good = `name: Big desk
mains: 50
strips: 1-4
inputs:
  mic:
    nominal: -40
    setup: gain up
  line:
    nominal: 4
`;

function refusal(text: string): DeskroundError {
  try {
    parseDesk(text, "desk.yaml");
  } catch (error) {
    if (error instanceof DeskroundError) return error;
    throw error;
  }
  throw new Error("the desk file was accepted");
}

/** The good file with one line replaced, 1 for the first. */
function withLine(line: number, text: string): string {
  const lines = good.split("\n");
  lines[line - 1] = text;
  return lines.join("\n");
}

describe("a desk file", () => {
  it("becomes a desk with its paths in run-sheet order", () => {
    expect(parseDesk(good, "desk.yaml")).toMatchObject({
      name: "Big desk",
      mainsHz: 50,
      strips: ["1", "2", "3", "4"],
      inputs: [
        { name: "mic", nominalDbu: -40, setup: "gain up" },
        { name: "line", nominalDbu: 4, setup: "" },
      ],
      referenceDbu: 4,
      order: "by-input",
    });
    expect(parseDesk(good, "desk.yaml").paths).toHaveLength(8);
  });

  it.each([
    ["strips: 3", ["1", "2", "3"]],
    ["strips: [1, 2, 3A]", ["1", "2", "3A"]],
    ["strips: [1-2, 13]", ["1", "2", "13"]],
    ["strips: 1-2, 13", ["1", "2", "13"]],
    ["strips: [01, 3.10, true]", ["01", "3.10", "true"]],
    ["strips: 7A", ["7A"]],
  ])("reads `%s` as the names written there", (line, names) => {
    expect(parseDesk(withLine(3, line), "desk.yaml").strips).toEqual(names);
  });

  it("takes the flow of the signal from the file, and the usual one where the file is silent", () => {
    const usual = parseDesk(good, "desk.yaml").flow;
    expect(usual.stages.mic).toEqual(expect.arrayContaining(["mic socket", "fader"]));
    expect(usual.stages.line).toEqual(expect.arrayContaining(["line socket", "fader"]));
    const flow = `flow:
  stages:
    mic: [mic socket, amplifier]
    line: [line socket, amplifier]
  shared:
    supply card A: 1-3
`;
    expect(parseDesk(good + flow, "desk.yaml").flow).toEqual({
      stages: { mic: ["mic socket", "amplifier"], line: ["line socket", "amplifier"] },
      shared: [{ name: "supply card A", strips: ["1", "2", "3"] }],
    });
  });

  it("takes the kind of a shared part from the file, and its strips as a list of numbers", () => {
    const flow = `flow:
  shared:
    card A: { kind: supply, strips: [1, 2] }
    card B:
      strips: 3-4
    all odd ones: [3, 1]
`;
    expect(parseDesk(good + flow, "desk.yaml").flow.shared).toEqual([
      { name: "card A", kind: "supply", strips: ["1", "2"] },
      { name: "card B", strips: ["3", "4"] },
      { name: "all odd ones", strips: ["1", "3"] },
    ]);
  });

  it.each([
    ["  stages:\n    mic: [a, b]\n", /"stages" leaves out line/],
    ["  stages:\n    mic: [a]\n    lien: [b]\n", /the desk has no input lien/],
    ["  shared:\n    card: 3-9\n", /the desk has no strip 5/],
    ["  share:\n    card: 1-2\n", /"share" is not a key/],
    [
      "  shared:\n    card: { kind: suply, strips: 1-2 }\n",
      /line 12: "kind" is "suply"; allowed: supply, ribbon, group, bus or bank/,
    ],
    ["  shared:\n    card: { kind: bus, strips: 3-9 }\n", /the desk has no strip 5/],
    ["  shared:\n    card: { kind: bus }\n", /"strips" is missing/],
    ["  shared:\n    card: { strip: 1-2 }\n", /"strip" is not a key here/],
    ["  shared:\n    card:\n", /"card" is left empty; allowed: /],
    ["  stages:\n    mic: socket\n", /"mic" is "socket"; allowed: a list of stages/],
  ])("refuses a flow of %j", (text, message) => {
    expect(refusal(`${good}flow:\n${text}`).message).toMatch(message);
  });

  it("keeps strips of a group in a family of their own", () => {
    const desk = parseDesk(`${good}families:\n  recapped: [3-4]\n`, "desk.yaml");
    expect(desk.paths.map(({ family }) => family)).toEqual([
      "mic",
      "mic",
      "mic (recapped)",
      "mic (recapped)",
      "line",
      "line",
      "line (recapped)",
      "line (recapped)",
    ]);
  });

  it("may say that only some strips have an input, and reads a lone number there as a strip", () => {
    const some = good.replace("nominal: -40\n", "nominal: -40\n    strips: 2\n");
    const desk = parseDesk(some, "desk.yaml");
    expect(desk.paths.map(({ path }) => path).slice(0, 2)).toEqual(["2/mic", "1/line"]);
  });

  it("may say into how many ohms an input looks", () => {
    const terminated = good.replace("nominal: -40\n", "nominal: -40\n    source: 150\n");
    const [mic, line] = parseDesk(terminated, "desk.yaml").inputs;
    expect(mic.sourceOhm).toBe(150);
    expect(line).not.toHaveProperty("sourceOhm");
  });

  it("may use Windows line ends and a byte order mark", () => {
    expect(parseDesk(`\uFEFF${good.replaceAll("\n", "\r\n")}`, "d").strips).toHaveLength(4);
  });
});

describe("numbers", () => {
  it.each([
    ["    nominal: -40,5", { nominalDbu: -40.5 }],
    ["    nominal: -40.5dBu", { nominalDbu: -40.5 }],
    ["    nominal: −40,5 dBu", { nominalDbu: -40.5 }],
    ["    nominal: -40\n    source: 150 Ω", { sourceOhm: 150 }],
    ["    nominal: -40\n    source: 150R", { sourceOhm: 150 }],
  ])("are understood with a comma, a unit or both: %s", (line, expected) => {
    expect(parseDesk(withLine(6, line), "desk.yaml").inputs[0]).toMatchObject(expected);
  });

  it("of mains, phantom and rails may have their units", () => {
    const text = `${withLine(2, "mains: 50 Hz")}phantom: 48V\nrails: [17.5 V, -17.5V]\n`;
    expect(parseDesk(text, "desk.yaml")).toMatchObject({ mainsHz: 50, phantomV: 48 });
  });
});

describe("a fault in the desk file", () => {
  it.each([
    [withLine(2, "mians: 50"), '2: "mians" is not a key here.', "Did you mean mains?"],
    [withLine(6, "    nominel: -40"), '6: "nominel" is not a key here.', "Did you mean nominal?"],
    [
      good.replace("    nominal: -40\n", ""),
      '5: "nominal" is missing.',
      "Allowed: a number of dBu from -80 to 30",
    ],
    [
      `${good}colour: red\n`,
      '10: "colour" is not a key here.',
      "Keys here: version, id, name, mains, strips, inputs, families, reference, order",
    ],
    [withLine(2, "mains: 55"), '2: "mains" is 55; allowed: 50 or 60.', undefined],
    [withLine(2, "mains: 50 V"), '2: "mains" is "50 V"; allowed: 50 or 60', undefined],
    [withLine(2, "mains:"), '2: "mains" is left empty; allowed: 50 or 60', undefined],
    [withLine(3, "strips:"), '3: "strips" is left empty; allowed: a number of strips', undefined],
    [
      withLine(6, "    nominal: -40,5 dBV"),
      '6: "nominal" is "-40,5 dBV"; allowed: a number of dBu',
      undefined,
    ],
    [withLine(6, "    nominal: .nan"), '6: "nominal" is', undefined],
    [
      withLine(6, "    nominal: -40\n    source: 150V"),
      '7: "source" is "150V"; allowed: a number of ohms from 1 to 100000.',
      undefined,
    ],
    [withLine(6, "    nominal: 400"), '6: "nominal" is 400; allowed: a number of dBu', undefined],
    [withLine(3, "strips: [1, 2, 2]"), "3: strip 2 is there twice.", undefined],
    [withLine(3, "strips:\n  - 1\n  - 2/3"), '5: strip "2/3": not a usable name', undefined],
    [withLine(3, "strips: []"), '3: "strips" names no strip.', undefined],
    [withLine(3, "strips: 100000"), "3: 100000 strips are more than the 512 allowed.", undefined],
    [withLine(5, "  mi/c:"), '5: "mi/c": not a usable name', undefined],
    [withLine(5, '  "mi c":'), '5: "mi c": not a usable name', undefined],
    [withLine(5, "  7:"), '5: "7": not a usable name (a letter first', undefined],
    [withLine(8, "  MIC:"), "8: inputs mic and MIC differ only in capitals.", undefined],
    [
      `${good}families:\n  old: [1-2]\n  new: 3-5\n`,
      "12: the desk has no strip 5.",
      "Its strips run from 1 to 4",
    ],
    [
      `${good}families:\n  old: [1-3]\n  new: 3-4\n`,
      "12: strip 3 is in two families, old and new.",
      "A strip can have only one set of siblings",
    ],
    [`${good}order: by-inputs\n`, '10: "order" is "by-inputs"', "Did you mean by-input?"],
    [withLine(1, 'name: "a\\e[31mb"'), '1: "name" holds control characters', undefined],
    [withLine(1, "name: ''"), '1: "name" is left empty.', undefined],
    [`${good}version: 2\n`, '10: "version" is 2; allowed: 1.', undefined],
    [
      `${good}__proto__: 2\n`,
      "10: not readable as YAML: `__proto__` cannot be a name here.",
      undefined,
    ],
    [
      withLine(6, "\t nominal: 4"),
      "6: not readable as YAML: Tabs are not allowed as indentation.",
      "Compare the line",
    ],
    [
      `${good}mains: 60\n`,
      '10: "mains" is there twice, the first time in line 2.',
      "Put everything under one",
    ],
    [withLine(1, "name: [a"), "not readable as YAML", undefined],
    [withLine(1, "name: !odd a"), "1: not readable as YAML: Unresolved tag: !odd.", undefined],
    [withLine(1, "name: *a"), "not readable as YAML: Unresolved alias", undefined],
    ["- 1\n- 2\n", "1: not a desk file", undefined],
    ["", "desk.yaml is empty.", "`deskround init`"],
  ])("is named with its line and what is allowed (%#)", (text, message, hint) => {
    const error = refusal(text);
    expect(error.code).toBe("desk-file");
    expect(error.message).toContain(message);
    expect(error.message).toMatch(/^desk\.yaml/);
    expect(error.message).not.toContain("\n");
    if (hint !== undefined) expect(error.hint).toContain(hint);
    expect(error.hint ?? "").not.toContain("faults in the file");
  });

  it("of a missing key at the top has no line and is reported all the same", () => {
    expect(refusal(good.replace("mains: 50\n", "")).message).toBe('desk.yaml: "mains" is missing.');
  });

  it("among several is the first in the file, with their number", () => {
    const error = refusal(`${withLine(2, "mains: 55")}colour: red\norder: 3\n`);
    expect(error.message).toBe('desk.yaml line 2: "mains" is 55; allowed: 50 or 60.');
    expect(error.hint).toBe("3 faults in the file, this is the first.");
  });
});

describe("the place of the desk file", () => {
  const folder = mkdtempSync(join(tmpdir(), "desk-"));

  it("is the folder or the file", () => {
    const file = join(folder, "desk.yaml");
    writeFileSync(file, good);
    const desk: Desk = readDesk(folder);
    expect(readDesk(file)).toEqual(desk);
  });

  it("without a desk file is refused with the command that writes one", () => {
    const empty = join(folder, "empty");
    mkdirSync(empty);
    expect(() => readDesk(empty)).toThrow(`No desk file can be read at ${empty}/desk.yaml.`);
  });

  it("below a file is refused the same way", () => {
    const below = join(folder, "desk.yaml", "x");
    expect(() => readDesk(below)).toThrow(`No desk file can be read at ${below}/desk.yaml.`);
  });

  it("with bytes that are not text is refused", () => {
    const file = join(folder, "latin.yaml");
    writeFileSync(file, Buffer.from([0x6e, 0xe9, 0x0a]));
    expect(() => readDesk(file)).toThrow(`${file} is not text in UTF-8.`);
  });
});

describe("the starter desk", () => {
  const request = {
    name: 'The "big" one',
    strips: "24",
    inputs: ["mic", "line"],
    mainsHz: 60,
  } as const;

  it("is a desk file that reads back as what was asked for", () => {
    const desk = parseDesk(formatStarterDesk(request), "desk.yaml");
    expect(desk.name).toBe('The "big" one');
    expect(desk.mainsHz).toBe(60);
    expect(desk.paths).toHaveLength(48);
  });

  it.each(["1-3", "1,2,3A", "A1-A3,null", "3A"])("takes strips written %s", (strips) => {
    const desk = parseDesk(formatStarterDesk({ ...request, strips }), "desk.yaml");
    expect(desk.strips.at(-1)).toBe(strips.split(/[,-]/).at(-1));
  });

  it("fits a terminal of 80 columns wherever it explains", () => {
    const explained = formatStarterDesk(request)
      .split("\n")
      .filter((line) => line.startsWith("#"));
    expect(Math.max(...explained.map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  it("is not written for names that could not be read back", () => {
    expect(() => formatStarterDesk({ ...request, strips: "1,1" })).toThrow(
      "strip 1 is there twice",
    );
    expect(() => formatStarterDesk({ ...request, inputs: ["m c"] })).toThrow(
      'Input "m c": not a usable',
    );
    expect(() => formatStarterDesk({ ...request, inputs: ["a", "a"] })).toThrow(
      'Input "a": named twice.',
    );
    expect(() => formatStarterDesk({ ...request, name: "\u0007" })).toThrow("control characters");
  });
});
