import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { describe, expect, it } from "vitest";
import { readDesk } from "../../src/desk/read/read-desk.js";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { closeNotes } from "../../src/jobs/note/close-notes.js";
import { correctNote } from "../../src/jobs/note/correct-note.js";
import { importNotes } from "../../src/jobs/note/import-notes.js";
import { listNotes } from "../../src/jobs/note/list-notes.js";
import { noteFault } from "../../src/jobs/note/note-fault.js";
import { noteRepair } from "../../src/jobs/note/note-repair.js";
import { readPipedText } from "../../src/jobs/note/read-piped-text.js";
import { plan } from "../../src/jobs/plan.js";
import { measureProcessorS } from "../helpers/processor-time.js";
import { slow } from "../helpers/slow.js";

const deskText = formatStarterDesk({
  name: "Desk",
  strips: "12",
  inputs: ["mic", "line"],
  mainsHz: 50,
});

function newDesk(): string {
  const folder = mkdtempSync(join(tmpdir(), "note-"));
  writeFileSync(join(folder, "desk.yaml"), deskText);
  return folder;
}

function imported(text: string, name = "pad.txt", desk = newDesk(), more = {}) {
  const file = join(desk, name);
  writeFileSync(file, text);
  return importNotes({ desk, file, ...more });
}

const placed = async (text: string, name?: string) =>
  (await imported(text, name)).entries.map(({ line }) => {
    const { strip, input, text: words } = line;
    return [`${strip}${input === undefined ? "" : `/${input}`}`, words];
  });

describe("importing lines of text", () => {
  it.each([
    ["6/mic: hum, with the lamp on", ["6/mic", "hum, with the lamp on"]],
    ["6/mic hum", ["6/mic", "hum"]],
    ["2031-01-02 6: hum", ["6", "hum"]],
    ["strip 7 - dull", ["7", "dull"]],
    ["strip 7 dull", ["7", "dull"]],
    ["7 - dull", ["7", "dull"]],
    ["7, dull", ["7", "dull"]],
    ["#7: dead", ["7", "dead"]],
    ["6: 5 dB down", ["6", "5 dB down"]],
    ["6: 10, 12 and 14 kHz missing", ["6", "10, 12 and 14 kHz missing"]],
  ])("takes %j as it is meant", async (line, expected) => {
    expect(await placed(line)).toEqual([expected]);
  });

  it("passes over remarks", async () => {
    expect(await placed("# from the pad\n#fault list\n6: hum")).toEqual([["6", "hum"]]);
  });

  it.each([
    ["09:30 strip 6 hums", "begins with a time"],
    ["2031-01-02 9:30 hum", "begins with a time"],
    ["3, 5, 7: noisy", "more than one strip"],
    ["3,5: noisy", "more than one strip"],
    ["3 and 5: noisy", "more than one strip"],
    ["3 & 5: noisy", "more than one strip"],
    ["3 - 5: noisy", "more than one strip"],
    ["3/mic 5/mic: noisy", "more than one strip"],
    ["10 dB louder than the others", "not certain"],
    ["2 weeks after the move all was well", "not certain"],
    ["3, 5 noisy", "not certain"],
    ["hum", "no strip"],
  ])("refuses %j and stores nothing", async (line, message) => {
    const desk = newDesk();
    await expect(imported(`6: hum\n${line}\n`, "pad.txt", desk)).rejects.toThrow(message);
    expect(listNotes(desk, "all").entries).toEqual([]);
  });

  it("asks about lines that may mean something else, and takes them only when told to", async () => {
    const asked: (readonly string[])[] = [];
    const answer = (yes: boolean) => ({
      confirm: async (lines: readonly string[]) => {
        asked.push(lines);
        return yes;
      },
    });
    const desk = newDesk();
    const text = "6: hum\n8 pop\n";
    await expect(imported(text, "pad.txt", desk, answer(false))).rejects.toThrow("not certain");
    expect(listNotes(desk, "all").entries).toEqual([]);
    expect((await imported(text, "pad.txt", desk, answer(true))).entries).toHaveLength(2);
    expect(asked).toEqual([[expect.stringContaining('line 2: "8 pop"')], expect.anything()]);
    expect(readFileSync(join(desk, "notebook.jsonl"), "utf8")).not.toContain("doubt");
  });
});

describe("importing a spreadsheet", () => {
  it.each([
    ["strip,text\n6,hum, with the lamp on\n", 'line 2: "with the lamp on"'],
    ["strip,,text\n6,urgent,hum\n", '"urgent" is in a column that has no name'],
    ["strip,text,text\n6,hum,pop\n", 'two columns are called "text"'],
    [`strip,text,who\n6,hum,${"x".repeat(61)}\n`, "is too long"],
  ])("drops no cell of %j", async (table, message) => {
    const desk = newDesk();
    await expect(imported(table, "pad.csv", desk)).rejects.toThrow(message);
    expect(listNotes(desk, "all").entries).toEqual([]);
  });

  it("lets empty cells pass, wherever they are", async () => {
    expect(await placed('strip,,text,\n6,,"hum, loud",,\n', "pad.csv")).toEqual([
      ["6", "hum, loud"],
    ]);
  });
});

describe("importing again", () => {
  it("takes over a fault that came back after it was closed", async () => {
    const desk = newDesk();
    await imported("6: hum\n", "pad.txt", desk);
    expect(await imported("6: hum\n", "pad.txt", desk)).toMatchObject({ entries: [], known: 1 });
    closeNotes({ desk, ids: ["n1"], text: "mended" });
    expect((await imported("6: hum\n", "pad.txt", desk)).entries).toHaveLength(1);
    expect(listNotes(desk, "open").entries.map(({ line }) => line.text)).toEqual(["hum"]);
  });

  it("knows a note with its day again, closed or not", async () => {
    const desk = newDesk();
    await imported("2031-01-02 6: hum\n", "pad.txt", desk);
    closeNotes({ desk, ids: ["n1"], text: "mended" });
    expect(await imported("2031-01-02 6: hum\n", "pad.txt", desk)).toMatchObject({ known: 1 });
  });

  it("takes 50 000 lines in no time to speak of", slow, async () => {
    const lines = Array.from({ length: 50_000 }, (_, k) => `${(k % 12) + 1}: fault ${k}`);
    const read = async () =>
      expect((await imported(lines.join("\n"))).entries).toHaveLength(50_000);
    // It was 196 s; a slow machine is allowed for.
    expect(await measureProcessorS(read)).toBeLessThan(30);
  });
});

describe("a strip that was renamed in the desk file", () => {
  it("does not lose its open notes without a word", async () => {
    const desk = newDesk();
    noteFault({ desk, place: "12/mic", text: "hum" });
    noteFault({ desk, place: "6", text: "pop" });
    const { strangers: none } = await plan({ desk });
    expect(none).toEqual([]);
    writeFileSync(join(desk, "desk.yaml"), deskText.replace("strips: 12", "strips: 11"));
    const { strangers } = await plan({ desk });
    expect(strangers.map(({ id }) => id)).toEqual(["n1"]);
  });
});

describe("large desk files", () => {
  it.each([
    [
      "60 000 unknown keys",
      Array.from({ length: 60_000 }, (_, k) => `k${k}: 1`),
      '"k0" is not a key',
    ],
    [
      "20 000 families",
      ["families:", ...Array.from({ length: 20_000 }, (_, k) => `  f${k}: [1]`)],
      "two families, f0 and f1",
    ],
  ])("with %s are refused in no time to speak of", slow, async (_, lines, message) => {
    const desk = newDesk();
    writeFileSync(join(desk, "desk.yaml"), `${deskText}\n${lines.join("\n")}\n`);
    const read = () => expect(() => readDesk(desk)).toThrow(message);
    // It was nearly a minute; a slow machine is allowed for.
    expect(await measureProcessorS(read)).toBeLessThan(15);
  });

  it("still refuses a key that a block has twice", () => {
    const desk = newDesk();
    writeFileSync(join(desk, "desk.yaml"), `${deskText}\nname: Twice\n`);
    expect(() => readDesk(desk)).toThrow(/is there twice/);
  });
});

describe("a note's words", () => {
  it("are not blanked by a correction", () => {
    const desk = newDesk();
    noteFault({ desk, place: "6", text: "hum" });
    expect(() => correctNote({ desk, id: "n1", text: " " })).toThrow("note n1 empty");
    expect(listNotes(desk, "open").entries[0].line.text).toBe("hum");
  });

  it("count parts up to 999 and refuse more, instead of taking the number for a name", () => {
    const desk = newDesk();
    const parts = (part: string) => noteRepair({ desk, place: "6", text: "", parts: [part] });
    expect(parts("999x 10 µF").entry.line).toMatchObject({
      parts: [{ what: "10 µF", count: 999 }],
    });
    for (const part of ["1000x 10 µF", "0x 10 µF"]) {
      expect(() => parts(part)).toThrow(`"${part}" says`);
    }
  });

  it("come through a pipe whole, up to a size and in time", async () => {
    const stream = new PassThrough();
    const text = readPipedText({ stream });
    stream.write("hum, ");
    setTimeout(() => stream.end("with the lamp on\n"), 20);
    expect(await text).toBe("hum, with the lamp on");
    const endless = new PassThrough();
    const much = readPipedText({ stream: endless });
    endless.write(Buffer.alloc(2_000_000));
    await expect(much).rejects.toThrow("Too much came through the pipe");
    expect(await readPipedText({ stream: new PassThrough(), waitS: 0.05 })).toBe("");
  });
});
