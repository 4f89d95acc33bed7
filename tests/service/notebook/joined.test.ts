import { appendFileSync, cpSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { appendToNotebook } from "../../../src/service/notebook/append.js";
import { parseNotebook, readNotebook } from "../../../src/service/notebook/read.js";
import type { NewNote } from "../../../src/service/notebook/types.js";
import { measureProcessorS } from "../../helpers/processor-time.js";

const newFolder = () => mkdtempSync(join(tmpdir(), "joined-"));
const date = "2031-03-14T12:00:00.000Z";
const fault = (text: string): NewNote => ({ date, kind: "fault", strip: "6", text });
const close = (closes: string): NewNote => ({ date, kind: "close", closes, figures: [], text: "" });

function join2(one: string, other: string): string {
  const folder = newFolder();
  for (const from of [one, other]) {
    appendFileSync(join(folder, "notebook.jsonl"), readFileSync(join(from, "notebook.jsonl")));
  }
  return folder;
}

const stateOf = (folder: string) =>
  readNotebook(folder).entries.map(({ line, closed }) => [line.text, closed !== undefined]);

describe("notebooks of two computers, joined", () => {
  it("closes and corrects the notes that were meant, though their numbers meet", () => {
    const [one, other] = [newFolder(), newFolder()];
    appendToNotebook(one, [fault("hum"), fault("pop")]);
    appendToNotebook(other, [fault("dull"), fault("dead")]);
    appendToNotebook(other, [close("n1")]);
    appendToNotebook(other, [{ date, kind: "correct", corrects: "n2", text: "dead, cold" }]);
    for (const [a, b] of [
      [one, other],
      [other, one],
    ]) {
      const joined = join2(a, b);
      expect(new Map(stateOf(joined) as [string, boolean][])).toStrictEqual(
        new Map([
          ["hum", false],
          ["pop", false],
          ["dull", true],
          ["dead, cold", false],
        ]),
      );
      expect(readNotebook(joined).damaged).toStrictEqual([]);
    }
  });

  it("counts once what both had before they parted", () => {
    const one = newFolder();
    appendToNotebook(one, [fault("hum")]);
    const other = newFolder();
    cpSync(join(one, "notebook.jsonl"), join(other, "notebook.jsonl"));
    appendToNotebook(one, [fault("pop")]);
    appendToNotebook(other, [close("n1"), fault("dull")]);
    expect(stateOf(join2(one, other))).toStrictEqual([
      ["hum", true],
      ["pop", false],
      ["dull", false],
    ]);
  });

  it("reads files of old, whose lines have no keys, and closes their notes", () => {
    const folder = newFolder();
    const old = { note: 1, id: "n1", date, kind: "fault", strip: "6", text: "hum" };
    writeFileSync(join(folder, "notebook.jsonl"), `${JSON.stringify(old)}\n`);
    const { notebook } = appendToNotebook(folder, [close("n1")]);
    expect(notebook.entries[0].closed).toBeDefined();
  });
});

describe("large notebooks", () => {
  it("reads 20 000 lines of one number in no time to speak of", async () => {
    const line = JSON.stringify({ note: 1, id: "n1", date, kind: "fault", text: "hum" });
    const bytes = Buffer.from(`${line}\n`.repeat(20_000));
    const read = () => {
      const { entries } = parseNotebook(bytes, "notebook.jsonl");
      expect(new Set(entries.map(({ id }) => id)).size).toBe(20_000);
    };
    // It was more than 100 s; a slow machine is allowed for.
    expect(await measureProcessorS(read)).toBeLessThan(10);
  });
});
