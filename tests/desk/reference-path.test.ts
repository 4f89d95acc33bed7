import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { DeskroundError } from "../../src/errors.js";

const desk = (block: string, strips = "1-4") =>
  `name: Big desk\nmains: 50\nstrips: ${strips}\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\nreference: 6\n${block}`;

function refusal(block: string, strips?: string): string {
  try {
    parseDesk(desk(block, strips), "desk.yaml");
  } catch (error) {
    if (error instanceof DeskroundError) return `${error.message} ${error.hint}`;
    throw error;
  }
  throw new Error("the desk file was accepted");
}

describe("the reference path of a desk file", () => {
  it("has a name, a socket and the level of the mix output where the file says no more", () => {
    const { referencePath, paths } = parseDesk(
      desk("reference-path: { into: insert }"),
      "desk.yaml",
    );
    expect(referencePath).toEqual({
      name: "reference",
      into: "insert",
      nominalDbu: 6,
      plug: "mix insert return",
      setup: "",
      padDb: 0,
    });
    expect(paths.map(({ path }) => path)).not.toContain("reference");
    expect(parseDesk(desk(""), "desk.yaml").referencePath).toBeUndefined();
  });

  it("takes what the file says of it, and patterns of file names for it", () => {
    const block = `reference-path:
  into: bus
  name: spare
  nominal: -2
  plug: bus input 25
  setup: master fader at its mark
  pad: 6
captures:
  - spare: Bus <take>
`;
    const { referencePath, captures } = parseDesk(desk(block), "desk.yaml");
    expect(referencePath).toMatchObject({ name: "spare", into: "bus", nominalDbu: -2, padDb: 6 });
    expect(captures).toMatchObject([{ text: "Bus <take>", input: "spare" }]);
  });

  it("is refused in one line with its place where it cannot be", () => {
    expect(refusal("reference-path: { into: fader }")).toBe(
      'desk.yaml line 8: "into" is "fader"; allowed: insert (the mix insert return) or bus (a spare input of the mix bus). Change that in the file, then run the same command again.',
    );
    expect(refusal("reference-path: insert")).toContain(
      'line 8: "reference-path" is "insert"; allowed: an indented block with into',
    );
    expect(refusal("reference-path: { nominal: 4 }")).toContain('"into" is missing');
    expect(refusal("reference-path: { into: bus, nominel: 4 }")).toContain("Did you mean nominal?");
    expect(refusal("reference-path: { into: bus, nominal: 40 }")).toContain("dBu from -80 to 30");
    expect(refusal("reference-path: { into: bus, name: LINE }")).toMatch(
      /line 8: the reference path's name "LINE": an input has this name.*name: insert/,
    );
    expect(refusal("reference-path: { into: bus, name: A3 }", "A1-A4")).toContain(
      "a strip has this name",
    );
    expect(refusal("reference-path: { into: bus }", "[1, reference]")).toMatch(
      /line 8: .*"reference": a strip has this name/,
    );
    expect(refusal("reference-path: { into: bus, name: two words }")).toContain("a letter first");
  });
});
