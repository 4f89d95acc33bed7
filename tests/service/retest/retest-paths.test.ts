import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import type { DeskPlace } from "../../../src/desk/types.js";
import type { Notebook } from "../../../src/service/notebook/types.js";
import { listRetestPaths } from "../../../src/service/retest/retest-paths.js";

// Expected: the strips worked on, those beside them and on their card, three untouched at least; of a
// shared part three strips, its ends among them, and the two nearest that do not share it.

const deskOf = (more = "") =>
  parseDesk(
    `name: x\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\n${more}`,
    "desk.yaml",
  );
const plain = deskOf();
const line = (kind: string, place: object = {}) => ({
  line: { kind, date: "2031-03-20T12:00:00Z", text: "", ...place },
});
const repair = (strip: string) => line("repair", { strip });

interface Given {
  readonly desk?: ReturnType<typeof deskOf>;
  readonly since?: string;
  readonly planned?: readonly DeskPlace[];
  readonly shared?: readonly (readonly string[])[];
}
function list(
  entries: readonly object[],
  { desk = plain, since = "2031-03-14", planned = [], shared = [] }: Given = {},
) {
  const parts = shared.map((strips) => ({ paths: strips.map((strip) => `${strip}/mic`) }));
  return listRetestPaths(desk, { entries } as unknown as Notebook, since, planned, parts);
}
const neighbours = (...given: Parameters<typeof list>) => list(...given).neighbours;

describe("the strips worked on", () => {
  const planned = [{ strip: "8" }];

  it("are those of repairs and of what came off, not of any other note", () => {
    for (const kind of ["repair", "off"]) {
      expect(list([line(kind, { strip: "2" })], { planned }).touched).toStrictEqual(["2"]);
    }
    for (const kind of ["fault", "meter", "accept", "check"]) {
      expect(list([line(kind, { strip: "2" })], { planned }).touched).toStrictEqual(["8"]);
    }
    expect(list([line("off")], { planned }).touched).toStrictEqual(["8"]);
  });

  it("are those since the day of the round, whatever the hour", () => {
    const touched = (since: string) => list([repair("2")], { planned, since }).touched;
    expect(touched("2031-03-19T23:00:00Z")).toStrictEqual(["2"]);
    expect(touched("2031-03-20")).toStrictEqual(["2"]);
    expect(touched("2031-03-20T18:00:00Z")).toStrictEqual(["2"]);
    expect(touched("2031-03-21")).toStrictEqual(["8"]);
    const ever = listRetestPaths(plain, { entries: [repair("2")] } as never, undefined, planned);
    expect(ever.touched).toStrictEqual(["2"]);
  });
});

describe("the strips beside them", () => {
  const withParts = (kind: string, strips: string) =>
    deskOf(`construction:\n  parts:\n    it: { strips: ${strips}, minutes: 5, kind: ${kind} }\n`);

  it("are the next on either side, and those on the same card", () => {
    expect(neighbours([repair("4")], { desk: withParts("card", "[4, 1, 8]") })).toStrictEqual([
      ...["1", "3", "5", "8"],
    ]);
    // Strips under one cover need not be disturbed by each other.
    expect(neighbours([repair("4")], { desk: withParts("cover", "[4, 1, 8]") })).toStrictEqual([
      ...["2", "3", "5"],
    ]);
    expect(neighbours([repair("1")], { desk: withParts("card", "[1, 5, 7]") })).toStrictEqual([
      ...["2", "5", "7"],
    ]);
  });

  it("are three that nobody touched, the nearest to any that was", () => {
    expect(neighbours([repair("2"), repair("3")])).toStrictEqual(["1", "4", "5"]);
    expect(neighbours([repair("1"), repair("8")])).toStrictEqual(["2", "3", "7"]);
    expect(neighbours([])).toStrictEqual([]);
    const all = ["1", "2", "3", "4", "5", "6", "7", "8"];
    expect(neighbours(all.map(repair))).toStrictEqual([]);
  });
});

describe("a shared part", () => {
  it("is asked for where the round found it faulty, and only the plan says what was done", () => {
    const shared = [["4", "5"]];
    expect(list([], { shared })).toMatchObject({
      worksOnShared: true,
      neighbours: ["3", "4", "5", "6"],
    });
    expect(list([], { planned: [{ strip: "8" }] }).worksOnShared).toBe(false);
    expect(list([repair("8")], { shared }).worksOnShared).toBe(false);
  });

  it("needs three of its strips, those that were touched among them", () => {
    const planned = ["1", "2"].map((strip) => ({ strip }));
    const shared = [["1", "2", "3", "4", "5", "6"]];
    // 3 is beside 2; 7 and 8 are the nearest that do not share it.
    expect(neighbours([], { planned, shared })).toStrictEqual(["3", "7", "8"]);
    expect(neighbours([], { planned: [{ strip: "1" }], shared })).toStrictEqual([
      "2",
      "6",
      "7",
      "8",
    ]);
    expect(neighbours([], { shared })).toStrictEqual(["1", "4", "6", "7", "8"]);
    expect(neighbours([], { shared: [["1"]] })).toStrictEqual(["1", "2", "3"]);
  });

  it("is asked for beside a section that was worked on", () => {
    const desk = deskOf("places:\n  PSU A: { kind: supply, feeds: 1-2 }\n");
    const supply = { section: "PSU A", sectionKind: "supply" };
    const both = list([line("repair", supply)], { desk, shared: [["7", "8"]] });
    // 7 and 8 with 5 and 6, 1 and 2 with 3 and 4.
    expect(both.neighbours).toStrictEqual(["1", "2", "3", "4", "5", "6", "7", "8"]);
    // Work on the desk as a whole is work on the part that was found.
    const whole = list([line("repair")], { desk, shared: [["7", "8"]] });
    expect(whole.neighbours).toStrictEqual(["5", "6", "7", "8"]);
    expect(whole.sections).toStrictEqual([]);
  });
});
