import { describe, expect, it } from "vitest";
import { type AssignOptions, assignReturns } from "../../../src/capture/assign/assign-returns.js";
import {
  isReferenceFile,
  readReferenceTurn,
} from "../../../src/capture/assign/reference-returns.js";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { returnAt } from "../desks.js";

const { paths } = parseDesk(
  "name: D\nmains: 50\nstrips: 3\ninputs: { mic: { nominal: -40 }, line: { nominal: 4 } }\n",
  "desk.yaml",
);
const reference = "reference";
const ref = "reference";

/** So many returns of a file, one after the other. */
const returns = (file: string, count: number) =>
  Array.from({ length: count }, (_, k) => returnAt(file, 20 * k));

/** Paths in the order of the returns given. */
function taken(all: ReturnType<typeof returns>, options: AssignOptions = {}) {
  const { assignments } = assignReturns(all, paths, { reference, ...options });
  return all.map((one) => assignments.find((a) => a.return === one)?.path);
}

const sheet = ["1/mic", "2/mic", "3/mic", "1/line", "2/line", "3/line"];

describe("returns in the run sheet's order", () => {
  it("begin and end with the reference path where there are two more than paths", () => {
    expect(taken(returns("evening.wav", 8))).toEqual([ref, ...sheet, ref]);
  });

  it("are those of the paths alone where they are just as many, or takes of them all", () => {
    expect(taken(returns("evening.wav", 6))).toEqual(sheet);
    expect(taken(returns("evening.wav", 12))).toEqual([...sheet, ...sheet]);
  });

  it("begin with it where there is one more", () => {
    expect(taken(returns("evening.wav", 7))).toEqual([ref, ...sheet]);
  });

  it("follow the sheet as far as they go, and to both ends where there are too many", () => {
    expect(taken(returns("evening.wav", 4))).toEqual([ref, "1/mic", "2/mic", "3/mic"]);
    expect(taken(returns("evening.wav", 9))).toEqual([ref, ...sheet, undefined, ref]);
  });

  it("have no reference path where the desk names none", () => {
    expect(taken(returns("evening.wav", 8), { reference: undefined })).toEqual([
      ...sheet,
      undefined,
      undefined,
    ]);
  });

  it("hold it around the paths that were asked for alone", () => {
    const wanted = ["2/mic", "2/line"];
    expect(taken(returns("again.wav", 4), { wanted })).toEqual([ref, ...wanted, ref]);
    expect(taken(returns("again.wav", 3), { wanted: ["2/mic"] })).toEqual([ref, "2/mic", ref]);
    expect(taken(returns("again.wav", 2), { wanted: ["2/mic"] })).toEqual(["2/mic", "2/mic"]);
  });
});

describe("recordings of one input each", () => {
  it("hold it before the first of the sheet and behind the last, where they hold one more", () => {
    const all = [...returns("mic.wav", 4), ...returns("line.wav", 4)];
    expect(taken(all)).toEqual([ref, ...sheet, ref]);
  });

  it("leave it to files of its own, whatever these are called", () => {
    const files = ["Reference first.wav", "mic.wav", "line.wav", "reference-2.wav"];
    const all = [
      ...returns(files[0], 1),
      ...returns(files[1], 3),
      ...returns(files[2], 3),
      ...returns(files[3], 1),
    ];
    expect(taken(all)).toEqual([ref, ...sheet, ref]);
  });

  it("take several returns of one path for its takes", () => {
    expect(taken(returns("01-mic.wav", 3))).toEqual(["1/mic", "1/mic", "1/mic"]);
  });
});

describe("a map", () => {
  it("names the reference path like any other", () => {
    const entries = [ref, "2/mic", ref].map((path, k) => ({ path, where: `entry ${k + 1}` }));
    expect(taken(returns("evening.wav", 3), { map: entries })).toEqual([ref, "2/mic", ref]);
  });
});

describe("the name of a file", () => {
  const is = (file: string, name = ref) => isReferenceFile(file, name, paths, []);

  it("says that it holds the reference path by that word alone", () => {
    expect(is("/tmp/x/reference.wav")).toBe(true);
    expect(is("2031-03-14 Reference 02 after.flac")).toBe(true);
    expect(is("insert1.wav", "insert")).toBe(true);
    expect(is("07-mic.wav")).toBe(false);
    expect(is("preference.wav")).toBe(false);
    expect(is("/reference/evening.wav")).toBe(false);
    // A path of the desk in its name goes before.
    expect(is("reference 2-mic.wav")).toBe(false);
  });

  it("says when it was played, where it says one thing", () => {
    expect(readReferenceTurn("reference first.wav")).toBe("first");
    expect(readReferenceTurn("reference_after.wav")).toBe("last");
    expect(readReferenceTurn("reference 2.wav")).toBeUndefined();
    expect(readReferenceTurn("first and last.wav")).toBeUndefined();
  });
});
