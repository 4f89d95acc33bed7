import { spawn } from "node:child_process";
import { appendFileSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { listOpenFaultsAt } from "../../../src/service/notebook/answer-note.js";
import { appendToNotebook } from "../../../src/service/notebook/append.js";
import { parseNotebook, readNotebook } from "../../../src/service/notebook/read.js";
import type { NewNote } from "../../../src/service/notebook/types.js";
import { slow } from "../../helpers/slow.js";

const folder = () => mkdtempSync(join(tmpdir(), "notebook-"));
const fault = (text: string, strip = "6"): NewNote => ({
  date: "2031-03-14T12:00:00.000Z",
  kind: "fault",
  strip,
  text,
});
const file = (where: string) => join(where, "notebook.jsonl");
const texts = (where: string) => readNotebook(where).entries.map(({ line }) => line.text);
const script = (name: string) =>
  fileURLToPath(new URL(`../../../scripts/notebook/${name}.mjs`, import.meta.url));

function ran(...args: readonly string[]): Promise<{ code: number | null; out: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args);
    let out = "";
    child.stdout.on("data", (data) => {
      out += data;
    });
    child.on("close", (code) => resolve({ code, out }));
  });
}

describe("appendToNotebook", () => {
  it("keeps any text to the letter", () => {
    const where = folder();
    const kept: string[] = [];
    fc.assert(
      fc.property(fc.string({ unit: "grapheme", maxLength: 200 }), (text) => {
        appendToNotebook(where, [fault(text)]);
        kept.push(text);
      }),
      { numRuns: 50 },
    );
    const hostile = '\u0000 \u001b[2J "quoted", back\\slash\r\n{"note":1} \u202e\u2028 end ';
    appendToNotebook(where, [fault(hostile)]);
    expect(texts(where)).toStrictEqual([...kept, hostile]);
  });

  it("never changes a byte that is there", () => {
    const where = folder();
    let before = Buffer.alloc(0);
    for (const text of ["one", "two", "three"]) {
      appendToNotebook(where, [fault(text)]);
      const now = readFileSync(file(where));
      expect(now.subarray(0, before.length)).toStrictEqual(before);
      before = now;
    }
  });

  it("loses nothing that was accepted wherever a crash cuts the last line off", () => {
    const where = folder();
    appendToNotebook(where, [fault("first")]);
    const whole = readFileSync(file(where));
    appendToNotebook(where, [fault("cut – ü 𝄞")]);
    const cut = readFileSync(file(where));
    for (let length = whole.length; length < cut.length; length++) {
      writeFileSync(file(where), cut.subarray(0, length));
      const { ids } = appendToNotebook(where, [fault("after")]);
      const { entries, damaged } = readNotebook(where);
      expect(entries[0].line.text).toBe("first");
      expect(entries.at(-1)).toMatchObject({ id: ids[0], line: { text: "after" } });
      // A line that lacks its line end alone is whole.
      const torn = length > whole.length && length < cut.length - 1;
      expect(damaged.length).toBe(torn ? 1 : 0);
    }
  });

  it("gives every line an id of its own when two write at once", async () => {
    const where = folder();
    const runs = await Promise.all(
      ["a", "b"].map((name) => ran(script("writer"), where, name, "25")),
    );
    const said = runs.flatMap(({ out }) => out.trim().split("\n")).map((line) => JSON.parse(line));
    const { entries, damaged } = readNotebook(where);
    expect(damaged).toStrictEqual([]);
    expect(new Set(entries.map(({ id }) => id)).size).toBe(50);
    const byId = new Map(entries.map(({ id, line }) => [id, line.text]));
    for (const { id, text } of said) expect(byId.get(id)).toBe(text);
  }, 30_000);

  it("survives being killed (200 times by scripts/notebook/crash.mjs)", slow, async () => {
    const { code, out } = await ran(script("crash"), "8");
    expect(out).toMatch(/^8 kills, \d+ lines accepted, 0 lost/);
    expect(code).toBe(0);
  });
});

describe("parseNotebook", () => {
  const line = (id: string, text: string, more: object = {}) =>
    JSON.stringify({ note: 1, id, date: "2031-03-14T12:00:00Z", kind: "fault", text, ...more });
  const parsed = (...lines: readonly (string | Uint8Array)[]) =>
    parseNotebook(
      Buffer.concat(lines.map((l) => Buffer.concat([Buffer.from(l), Buffer.from("\n")]))),
      "n",
    );

  it("skips and reports a damaged line, wherever it is and whatever is in it", () => {
    const found = parsed(
      line("n1", "one"),
      "{ not JSON",
      Buffer.from([0, 0, 0, 0]),
      Buffer.from([0x7b, 0xff, 0xfe, 0x7d]),
      "null",
      '{"some":"thing"}',
      line("n2", "kind", { kind: "wish" }),
      JSON.stringify({ note: 2, id: "n3" }),
      "",
      line("n4", "two"),
    );
    expect(found.entries.map(({ id, at }) => [id, at])).toStrictEqual([
      ["n1", 1],
      ["n4", 10],
    ]);
    expect(found.damaged.map(({ at }) => at)).toStrictEqual([2, 3, 4, 5, 6, 7, 8]);
    expect(found.damaged[6].reason).toMatch(/newer/);
  });

  it("finds a whole line behind an unfinished one", () => {
    const torn = line("n1", 'a text with {"note":1 in it').slice(0, 60);
    const { entries, damaged } = parsed(torn + line("n2", "whole"));
    expect(entries.map(({ id }) => id)).toStrictEqual(["n2"]);
    expect(damaged).toHaveLength(1);
  });

  it("tells two lines of one number apart by a letter, for ever", () => {
    const { entries } = parsed(line("n1", "a"), line("n1", "b"), line("n1", "c"), line("n2", "d"));
    expect(entries.map(({ id, line: { text } }) => id + text)).toStrictEqual([
      "n1a",
      "n1bb",
      "n1cc",
      "n2d",
    ]);
  });

  it("lets later lines correct, take back and close earlier ones", () => {
    const head = { note: 1, date: "2031-04-01T12:00:00Z" };
    const { entries, damaged } = parsed(
      line("n1", "hum", { strip: "6" }),
      line("n2", "slip", { strip: "6" }),
      JSON.stringify({
        ...head,
        id: "n3",
        kind: "correct",
        corrects: "n1",
        strip: "7",
        input: "mic",
      }),
      JSON.stringify({ ...head, id: "n4", kind: "correct", corrects: "n2", withdrawn: true }),
      JSON.stringify({
        ...head,
        id: "n5",
        kind: "close",
        closes: "n1",
        figures: [],
        text: "shield",
      }),
      JSON.stringify({ ...head, id: "n6", kind: "close", closes: "n99", figures: [], text: "" }),
    );
    expect(entries).toHaveLength(1);
    expect(entries[0]).toMatchObject({
      id: "n1",
      line: { strip: "7", input: "mic", text: "hum" },
      closed: { text: "shield" },
    });
    expect(damaged).toStrictEqual([{ at: 6, reason: "it closes n99, but that cannot be read" }]);
  });

  it("reads any bytes at all", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        parseNotebook(bytes, "n");
      }),
    );
  });

  it("takes no notice of a line end added by hand", () => {
    const where = folder();
    appendToNotebook(where, [fault("one")]);
    appendFileSync(file(where), "\n\r\n");
    appendToNotebook(where, [fault("two")]);
    expect(texts(where)).toStrictEqual(["one", "two"]);
    expect(readNotebook(where).damaged).toStrictEqual([]);
  });
});

const line = (id: string, text: string, more: object = {}) =>
  JSON.stringify({ note: 1, id, date: "2031-03-14T12:00:00Z", kind: "fault", text, ...more });
const parsed = (...lines: readonly string[]) =>
  parseNotebook(Buffer.from(lines.map((one) => `${one}\n`).join("")), "notebook.jsonl");

describe("a reading of the meter that is corrected", () => {
  const value = (at: string, volts: number) => ({ at, value: volts, unit: "V" });
  const head = { note: 1, date: "2031-04-01T12:00:00Z" };
  const meter = { ...head, id: "n1", kind: "meter", strip: "7", what: "phantom", text: "" };

  it("changes the value that is named, keeps the other, and takes a new one", () => {
    const { entries } = parsed(
      JSON.stringify({ ...meter, values: [value("pin 2", 40), value("pin 3", 47)] }),
      JSON.stringify({
        ...head,
        id: "n2",
        kind: "correct",
        corrects: "n1",
        values: [value("pin 2", 46), value("socket", 45)],
      }),
    );
    expect(entries[0].line).toMatchObject({
      values: [value("pin 2", 46), value("pin 3", 47), value("socket", 45)],
    });
  });
});

describe("open faults at a place", () => {
  const at = (id: string, more: object) => line(id, "hum", more);
  const { entries } = parsed(
    at("n1", { strip: "6" }),
    at("n2", { strip: "6", input: "mic" }),
    at("n3", { strip: "7" }),
    at("n4", {}),
    JSON.stringify({
      note: 1,
      id: "n5",
      date: "2031-04-01T12:00:00Z",
      kind: "repair",
      strip: "6",
      parts: [],
      text: "hum",
    }),
    at("n6", { strip: "6" }),
    JSON.stringify({
      note: 1,
      id: "n7",
      date: "2031-04-01T12:00:00Z",
      kind: "close",
      closes: "n6",
      figures: [],
      text: "",
    }),
    line("n8", "fader fine again", { strip: "6" }),
  );

  it("are faults that are open, within the place or around it", () => {
    expect(listOpenFaultsAt({ strip: "6" }, entries)).toStrictEqual(["n1", "n2"]);
    expect(listOpenFaultsAt({ strip: "6", input: "mic" }, entries)).toStrictEqual(["n1", "n2"]);
    expect(listOpenFaultsAt({ strip: "7" }, entries)).toStrictEqual(["n3"]);
    expect(listOpenFaultsAt({}, entries)).toStrictEqual(["n4"]);
  });
});
