import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { appendToNotebook } from "../../../src/service/notebook/append.js";
import { getNotebookFile } from "../../../src/service/notebook/notebook-file.js";
import { parseNotebook, readNotebook } from "../../../src/service/notebook/read.js";

// Expected values: what the doc comments of schema and reader say of each kind of line.

const date = "2031-03-14T12:00:00Z";
const head = { note: 1, date, text: "" };
const fault = (id: string, more: object = {}) => ({ ...head, id, kind: "fault", ...more });
const off = (id: string, more: object = {}) => ({
  ...head,
  id,
  kind: "off",
  what: "cover",
  ...more,
});
const close = (id: string, closes?: string, more: object = {}) => ({
  ...head,
  id,
  kind: "close",
  figures: [],
  ...(closes === undefined ? {} : { closes }),
  ...more,
});
const count = (id: string, counts: string, found: readonly object[], more: object = {}) => ({
  ...head,
  id,
  kind: "count",
  counts,
  found,
  ...more,
});
const { text: _, ...bare } = head;
const correct = (id: string, corrects: string, more: object = {}) => ({
  ...bare,
  id,
  kind: "correct",
  corrects,
  ...more,
});
const bytesOf = (...lines: readonly (object | string)[]) =>
  Buffer.from(lines.map((one) => (typeof one === "string" ? one : JSON.stringify(one))).join("\n"));
const parse = (...lines: readonly (object | string)[]) =>
  parseNotebook(bytesOf(...lines), "notebook.jsonl");
const key = (digit: number) => `${digit}`.repeat(12);

describe("a notebook of nothing", () => {
  it("is empty", () => {
    expect(parse()).toStrictEqual({
      file: "notebook.jsonl",
      entries: [],
      closings: [],
      log: [],
      damaged: [],
      lastNumber: 0,
    });
  });
});

describe("the lines of a notebook", () => {
  it("are entries, closings and a log, with their line and the highest number", () => {
    const lines = [
      fault("n3", { strip: "6", text: "hum" }),
      { ...head, id: "n12", kind: "opening", event: "start" },
      off("n4"),
      { ...head, id: "n5", kind: "stock", event: "in", count: 2, part: "fuse" },
      close("n6", undefined, { strip: "6", what: "hiss" }),
    ] as const;
    expect(parse(...lines)).toStrictEqual({
      file: "notebook.jsonl",
      entries: [
        { id: "n3", line: lines[0], at: 1, corrections: [] },
        { id: "n4", line: lines[2], at: 3, corrections: [] },
      ],
      closings: [lines[4]],
      log: [
        { id: "n12", line: lines[1], at: 2 },
        { id: "n5", line: lines[3], at: 4 },
      ],
      damaged: [],
      lastNumber: 12,
    });
  });

  it("may be the last without an end of line, and one without a line", () => {
    expect(parse(fault("n1"), "").entries).toHaveLength(1);
    expect(
      parse("", fault("n1"), "   ", "\r", fault("n2")).entries.map(({ at }) => at),
    ).toStrictEqual([2, 5]);
    expect(parse("x").damaged).toStrictEqual([{ at: 1, reason: "it is not complete JSON" }]);
  });

  it("that cannot be read say why, in the order of the file", () => {
    const found = parseNotebook(
      Buffer.concat([
        bytesOf(
          correct("n9", "n1", { withdrawn: true }),
          "{",
          "3",
          { note: 1 },
          { kind: "fault" },
          "",
        ),
        bytesOf(
          { ...fault("n1"), note: 2 },
          { ...fault("n1"), note: 0 },
          { ...fault("n1"), strip: 7 },
          "",
        ),
        Buffer.from([0xff, 0x0a]),
      ]),
      "n",
    ).damaged;
    expect(found.map(({ at }) => at)).toStrictEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(found.map(({ reason }) => reason.replace(/\(.*/, "("))).toStrictEqual([
      "it corrects n1, but that cannot be read",
      "it is not complete JSON",
      "it is not a notebook entry",
      "it is not a notebook entry",
      "it is not a notebook entry",
      "a newer deskround wrote it",
      '"note" is not valid (',
      '"strip" is not valid (',
      "it is not in UTF-8",
    ]);
  });

  it("behind an unfinished one are read, and the unfinished one is told", () => {
    const whole = JSON.stringify(fault("n2", { text: "whole" }));
    const torn = JSON.stringify(fault("n1", { text: "torn" })).slice(0, -3);
    expect(parse(torn + whole)).toMatchObject({
      entries: [{ id: "n2", at: 1 }],
      damaged: [{ at: 1, reason: "it begins with an unfinished line" }],
    });
    // Another unfinished one is behind it: neither can be read.
    expect(parse(torn + torn)).toMatchObject({
      entries: [],
      damaged: [{ at: 1, reason: "it is not complete JSON" }],
    });
  });

  it("of one number have a letter each, twice after the alphabet", () => {
    const ids = parse(...Array.from({ length: 52 }, () => fault("n1"))).entries.map(({ id }) => id);
    expect([ids[0], ids[1], ids[2], ids[25], ids[26], ids[27], ids[50], ids[51]]).toStrictEqual([
      "n1",
      "n1b",
      "n1c",
      "n1z",
      "n1bb",
      "n1cc",
      "n1zz",
      "n1bbb",
    ]);
    expect(new Set(ids).size).toBe(52);
  });

  it("with a key count once; those without are told apart", () => {
    const one = fault("n1", { key: key(1) });
    expect(parse(one, one, fault("n1", { key: key(2) })).entries.map(({ id }) => id)).toStrictEqual(
      ["n1", "n1b"],
    );
    const stock = {
      ...head,
      id: "n1",
      kind: "stock",
      event: "in",
      count: 2,
      part: "fuse",
      key: key(3),
    };
    expect(parse(stock, stock).log).toHaveLength(1);
    expect(parse(fault("n1"), fault("n1")).entries).toHaveLength(2);
  });
});

describe("what is meant", () => {
  it("is found by its key before its number", () => {
    const lines = [fault("n1", { key: key(1) }), fault("n1", { key: key(2) })];
    const closed = (...more: readonly object[]) =>
      parse(...lines, ...more).entries.flatMap(({ id, closed: by }) =>
        by === undefined ? [] : [id],
      );
    expect(closed(close("n2", "n1"))).toStrictEqual(["n1"]);
    expect(closed(close("n2", "n1b"))).toStrictEqual(["n1b"]);
    expect(closed(close("n2", "n1", { closesKey: key(2) }))).toStrictEqual(["n1b"]);
    // A key that nothing has is nobody's.
    const lost = parse(...lines, close("n2", "n1", { closesKey: key(3) }));
    expect(lost.entries.some((one) => one.closed !== undefined)).toBe(false);
    expect(lost.damaged).toStrictEqual([
      { at: 3, reason: "it closes n1, but that cannot be read" },
    ]);
    const corrected = parse(...lines, correct("n2", "n1", { correctsKey: key(2), text: "pop" }));
    expect(corrected.entries.map(({ line }) => line.text)).toStrictEqual(["", "pop"]);
  });

  it("stays open where the round that closed it was withdrawn", () => {
    const lines = bytesOf(
      fault("n1"),
      close("n2", "n1", { round: "2031-03-20-01" }),
      close("n3", undefined, { round: "2031-03-20-01" }),
    );
    const read = (round: string) => {
      const { entries, closings } = parseNotebook(lines, "n", new Set([round]));
      return [entries[0].closed !== undefined, closings.length];
    };
    expect(read("2031-03-20-01")).toStrictEqual([false, 0]);
    expect(read("2031-03-20-02")).toStrictEqual([true, 1]);
  });
});

describe("fixings that are counted", () => {
  it("are those of the last count of each", () => {
    const [entry] = parse(
      off("n1", { fixings: [{ what: "M3", count: 4 }] }),
      count("n2", "n1", [
        { what: "M3", count: 2 },
        { what: "M4", count: 1 },
      ]),
      count("n3", "n1", [{ what: "M3", count: 4 }]),
    ).entries;
    expect([...(entry.counted ?? [])]).toStrictEqual([
      ["M3", 4],
      ["M4", 1],
    ]);
    const keyed = parse(
      off("n1", { key: key(1) }),
      off("n1", { key: key(2) }),
      count("n2", "n1", [{ what: "M3", count: 2 }], { countsKey: key(2) }),
    );
    expect(keyed.entries.map(({ counted }) => counted?.get("M3"))).toStrictEqual([undefined, 2]);
  });

  it("of something that cannot be read are told", () => {
    expect(parse(count("n2", "n1", [])).damaged).toStrictEqual([
      { at: 1, reason: "it counts what n1 took off, but that cannot be read" },
    ]);
  });
});

describe("a correction", () => {
  const noted = fault("n1", {
    strip: "6",
    input: "mic",
    control: "fader",
    symptom: "hum",
    text: "hum",
  });
  const apply = (more: object, first: object = noted) =>
    parse(first, correct("n2", "n1", more)).entries[0];

  it.each([
    [{ text: "pop" }, { text: "pop" }],
    [{ noticed: "2031-03-01T00:00:00Z" }, { date: "2031-03-01T00:00:00Z" }],
    [{ control: "pan" }, { control: "pan" }],
    [{ symptom: "hiss" }, { symptom: "hiss" }],
    [{ control: null }, { control: undefined }],
    [{ symptom: null }, { symptom: undefined }],
    [{ strip: "7" }, { strip: "7", input: undefined }],
    [
      { strip: "7", input: "line" },
      { strip: "7", input: "line" },
    ],
    [
      { section: "master", sectionKind: "master" },
      { strip: undefined, input: undefined, section: "master", sectionKind: "master" },
    ],
    [{ wholeDesk: true }, { strip: undefined, input: undefined }],
    // An input alone names no place.
    [{ input: "line" }, {}],
    [{}, {}],
  ])("%j changes that alone", (more, changed) => {
    const { line, corrections } = apply(more);
    const expected = Object.fromEntries(
      Object.entries({ ...noted, ...changed }).filter(([, value]) => value !== undefined),
    );
    expect(line).toStrictEqual(expected);
    expect(corrections).toStrictEqual([correct("n2", "n1", more)]);
  });

  it("moves a note of a section to a strip whole", () => {
    const section = fault("n1", { section: "aux 1", sectionKind: "send", text: "hum" });
    expect(apply({ strip: "7" }, section).line).toStrictEqual(
      fault("n1", { text: "hum", strip: "7" }),
    );
  });

  it("has no control or symptom for what is no fault", () => {
    const repair = { ...head, id: "n1", kind: "repair", parts: [] };
    expect(apply({ control: "pan", symptom: "hum", text: "did it" }, repair).line).toStrictEqual({
      ...repair,
      text: "did it",
    });
  });

  it("of a reading changes values by their point, adds others, and names the part", () => {
    const value = (at: string, volts: number) => ({ at, value: volts, unit: "V" });
    const meter = {
      ...head,
      id: "n1",
      kind: "meter",
      strip: "7",
      what: "phantom",
      values: [value("pin 2", 40), value("pin 3", 47)],
    };
    expect(apply({ values: [value("pin 3", 48), value("socket", 45)] }, meter).line).toStrictEqual({
      ...meter,
      values: [value("pin 2", 40), value("pin 3", 48), value("socket", 45)],
    });
    expect(apply({ part: "R14" }, meter).line).toStrictEqual({ ...meter, part: "R14" });
    expect(apply({ text: "again" }, meter).line).toStrictEqual({ ...meter, text: "again" });
  });

  it("keeps what was closed closed, unless it says otherwise", () => {
    const closedAfter = (more: object) =>
      parse(noted, close("n2", "n1"), correct("n3", "n1", more)).entries[0];
    expect(closedAfter({ text: "pop" }).closed).toMatchObject({ id: "n2" });
    expect(closedAfter({ reopened: true })).not.toHaveProperty("closed");
  });

  it("takes a note back, and one after another is kept in order", () => {
    expect(parse(noted, fault("n2"), correct("n3", "n1", { withdrawn: true }))).toMatchObject({
      entries: [{ id: "n2" }],
      damaged: [],
    });
    const twice = parse(
      noted,
      correct("n2", "n1", { text: "a" }),
      correct("n3", "n1", { text: "b" }),
    );
    expect(twice.entries[0].line.text).toBe("b");
    expect(twice.entries[0].corrections.map(({ id }) => id)).toStrictEqual(["n2", "n3"]);
  });
});

describe("a notebook in a folder", () => {
  const root = mkdtempSync(join(tmpdir(), "read-"));
  afterAll(() => rmSync(root, { recursive: true, force: true }));
  let next = 0;
  const newFolder = () => {
    const folder = join(root, String(next++));
    mkdirSync(folder);
    return folder;
  };
  const lines = (folder: string) =>
    readFileSync(getNotebookFile(folder), "utf8")
      .trimEnd()
      .split("\n")
      .map((line) => JSON.parse(line) as Record<string, unknown>);
  const hum = { date, kind: "fault", strip: "6", text: "hum" } as const;

  it("is empty where there is none, and cannot be a folder", () => {
    const folder = newFolder();
    expect(readNotebook(folder)).toMatchObject({
      file: join(folder, "notebook.jsonl"),
      entries: [],
      lastNumber: 0,
    });
    mkdirSync(getNotebookFile(folder));
    expect(() => readNotebook(folder)).toThrow(
      expect.objectContaining({ code: "notebook-file", message: expect.stringContaining(folder) }),
    );
    expect(() => appendToNotebook(folder, [hum])).toThrow(
      expect.objectContaining({ code: "notebook-file" }),
    );
  });

  it("is made with its folder, each line with a number and a key of its own", () => {
    const folder = join(newFolder(), "a", "b");
    const { ids, notebook } = appendToNotebook(folder, [{ ...hum, who: "Jo" }, hum]);
    expect(ids).toStrictEqual(["n1", "n2"]);
    expect(notebook.entries.map(({ id }) => id)).toStrictEqual(ids);
    const [one, two] = lines(folder);
    expect(one).toStrictEqual({
      note: 1,
      id: "n1",
      key: expect.stringMatching(/^[0-9a-f]{12}$/),
      who: "Jo",
      ...hum,
    });
    expect(two).not.toHaveProperty("who");
    expect(two.key).not.toBe(one.key);
    expect(appendToNotebook(folder, [hum]).ids).toStrictEqual(["n3"]);
  });

  it("has in a line about another the key of that one, if it has one", () => {
    const folder = newFolder();
    writeFileSync(
      getNotebookFile(folder),
      `${bytesOf(fault("n1", { key: key(1) }), fault("n2"), off("n3", { key: key(3) }))}\n`,
    );
    appendToNotebook(folder, [
      { date, kind: "close", closes: "n1", figures: [], text: "" },
      { date, kind: "close", closes: "n2", figures: [], text: "" },
      { date, kind: "close", strip: "6", what: "hiss", figures: [], text: "" },
      { date, kind: "count", counts: "n3", found: [], text: "" },
      { date, kind: "count", counts: "n2", found: [], text: "" },
      { date, kind: "correct", corrects: "n1", text: "pop" },
      { date, kind: "correct", corrects: "n2", text: "pop" },
      hum,
    ]);
    const keys = lines(folder)
      .slice(3)
      .map(({ closesKey, countsKey, correctsKey }) => [closesKey, countsKey, correctsKey]);
    expect(keys).toStrictEqual([
      [key(1), undefined, undefined],
      [undefined, undefined, undefined],
      [undefined, undefined, undefined],
      [undefined, key(3), undefined],
      [undefined, undefined, undefined],
      [undefined, undefined, key(1)],
      [undefined, undefined, undefined],
      [undefined, undefined, undefined],
    ]);
  });

  it("is never written into a file that is none", () => {
    const at = (content: string) => {
      const folder = newFolder();
      writeFileSync(getNotebookFile(folder), content);
      return () => appendToNotebook(folder, [hum]).notebook.entries.length;
    };
    expect(at("dear diary")).toThrow(
      expect.objectContaining({ message: expect.stringContaining("notebook") }),
    );
    // An empty one, and one that a crash cut off in its first line
    expect(at("")()).toBe(1);
    expect(at('{"no')()).toBe(1);
    expect(at('{"note":1,"id":"n')()).toBe(1);
  });

  it("gets an end to a line that has none, and no empty line otherwise", () => {
    const folder = newFolder();
    writeFileSync(getNotebookFile(folder), JSON.stringify(fault("n1")));
    appendToNotebook(folder, [hum]);
    appendToNotebook(folder, [hum]);
    expect(readFileSync(getNotebookFile(folder), "utf8").split("\n")).toHaveLength(4);
    expect(readNotebook(folder).entries.map(({ id, at }) => [id, at])).toStrictEqual([
      ["n1", 1],
      ["n2", 2],
      ["n3", 3],
    ]);
  });
});
