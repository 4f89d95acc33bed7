import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { readImportedNotes } from "../../../src/service/notebook/import.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";

const folder = mkdtempSync(join(tmpdir(), "import-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const desk = parseDesk(
  "name: D\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\n",
  "desk.yaml",
);

function read(...rows: readonly string[]) {
  const file = join(folder, "notes.csv");
  writeFileSync(file, ["date,strip,input,text,control,symptom", ...rows].join("\n"));
  return readImportedNotes(file, desk);
}

describe("a row of a spreadsheet", () => {
  it("is a note by its words, or by its control or its symptom alone", async () => {
    const base = { strip: "6", input: "mic" };
    expect(await read("2031-03-14,6,mic,hum,,")).toMatchObject([
      { ...base, day: "2031-03-14", text: "hum" },
    ]);
    expect(await read(",6,mic,,fader,")).toMatchObject([{ ...base, control: "fader" }]);
    expect(await read(",6,mic,,,hum")).toMatchObject([{ ...base, symptom: "hum" }]);
  });

  it("is refused with the list where its control is not on it, and with what is near", async () => {
    const near = await read(",6,mic,,fadr,").catch((error: unknown) => error);
    expect(near).toMatchObject({ hint: expect.stringMatching(/^Did you mean fader\? The list: /) });
    const far = await read(",6,mic,,xyzzyxyzzy,").catch((error: unknown) => error);
    expect(far).toMatchObject({ hint: expect.stringMatching(/^The list: /) });
  });

  it("is refused where it says nothing", async () => {
    await expect(read("2031-03-14,6,mic,,,")).rejects.toThrow("no words about strip 6.");
    await expect(read("2031-03-14,6,mic,  ,,")).rejects.toThrow("no words about strip 6.");
  });
});

describe("a line of the notebook that was damaged", () => {
  it("is told by its number and by what of it is wrong", () => {
    const line = (edit: object) => ({
      note: 1,
      id: "n1",
      date: "2031-03-14T12:00:00Z",
      kind: "fault",
      strip: "7",
      text: "hum",
      ...edit,
    });
    const reason = (...lines: readonly unknown[]) =>
      parseNotebook(
        Buffer.from(lines.map((one) => JSON.stringify(one)).join("\n")),
        "notebook.jsonl",
      ).damaged;
    expect(reason(line({}))).toStrictEqual([]);
    expect(reason(line({}), line({ id: "n2", date: 5 }))).toMatchObject([
      { at: 2, reason: expect.stringMatching(/^"date" is not valid \(/) },
    ]);
    expect(reason([3])).toMatchObject([{ at: 1, reason: "it is not a notebook entry" }]);
    expect(reason(line({ note: 2 }))).toMatchObject([{ reason: "a newer deskround wrote it" }]);
  });
});

/** Reads a file of these bytes; what is wrong with it, and what next, where it is refused. */
async function readFile(name: string, content: string | Uint8Array) {
  const file = join(folder, name);
  writeFileSync(file, content);
  return readImportedNotes(file, desk);
}
const refusal = async (name: string, content: string | Uint8Array) => {
  const error = await readFile(name, content).catch((one: unknown) => one);
  const { message, hint } = error as { message: string; hint: string };
  return `${message.replace(`${folder}/`, "")} | ${hint}`;
};

describe("a line of a text", () => {
  const lines = (text: string) => readFile("notes.txt", text);
  const one = async (line: string) => {
    const [{ doubt, ...note }, ...more] = await lines(line);
    expect(more).toStrictEqual([]);
    return [note, doubt !== undefined];
  };

  it.each([
    ["6: hum", { strip: "6", text: "hum" }, false],
    ["6:hum", { strip: "6", text: "hum" }, false],
    ["6, hum", { strip: "6", text: "hum" }, false],
    ["6 - hum", { strip: "6", text: "hum" }, false],
    ["6 – hum at 14:30  ", { strip: "6", text: "hum at 14:30" }, false],
    ["strip 6 hum", { strip: "6", text: "hum" }, false],
    ["Strip 6 hum", { strip: "6", text: "hum" }, false],
    ["#6 hum", { strip: "6", text: "hum" }, false],
    ["#6: hum", { strip: "6", text: "hum" }, false],
    ["6/mic hum", { strip: "6", input: "mic", text: "hum" }, false],
    ["2031-03-14 6/mic: hum", { day: "2031-03-14", strip: "6", input: "mic", text: "hum" }, false],
    ["2031-03-14: 6: hum", { day: "2031-03-14", strip: "6", text: "hum" }, false],
    ["14.3.2031 6: hum", { day: "2031-03-14", strip: "6", text: "hum" }, false],
    // The words may mean something else than strip 6.
    ["6 dB louder", { strip: "6", text: "dB louder" }, true],
    ["6 hum", { strip: "6", text: "hum" }, true],
    ["6 5 hum", { strip: "6", text: "5 hum" }, true],
    ["6, 5 hum", { strip: "6", text: "5 hum" }, true],
    ["6: 5 dB down", { strip: "6", text: "5 dB down" }, false],
    ["6: 5, 7 and 8 are fine", { strip: "6", text: "5, 7 and 8 are fine" }, false],
    ["6, 9 dB down", { strip: "6", text: "9 dB down" }, false],
    ["6; hum", { strip: "6", text: "hum" }, false],
    ["6\thum", { strip: "6", text: "hum" }, true],
    ["strip 6 5 hum", { strip: "6", text: "5 hum" }, true],
    ["6/mic 5 hum", { strip: "6", input: "mic", text: "5 hum" }, true],
    ["6 and hum", { strip: "6", text: "and hum" }, true],
  ])("%j is a note, and whether it may mean another: %#", async (line, note, isDoubtful) => {
    expect(await one(line)).toStrictEqual([note, isDoubtful]);
  });

  it.each([
    ["5, 6: hum"],
    ["5 and 6: hum"],
    ["5 & 6, hum"],
    ["5 and 6 and 7 hum"],
    ["5, 6, 7 hum"],
    ["5 6: hum"],
    ["5 6, hum"],
    ["5 6; hum"],
    ["5 - 6 - 7 hum"],
  ])("%j names more than one strip, and is refused", async (line) => {
    expect(await refusal("notes.txt", line)).toMatch(
      /^notes\.txt line 1 names more than one strip: .*\| .*one line for each strip/,
    );
  });

  it.each(["14:30 6: hum", "9.05 6: hum", "2031-03-14 14:30 6: hum", "14h30 hum"])(
    "%j begins with a time, and is refused",
    async (line) => {
      expect(await refusal("notes.txt", line)).toMatch(/^notes\.txt line 1 begins with a time/);
    },
  );

  it("is told by its number, and with no more than 60 characters of it", async () => {
    const long = "x".repeat(60);
    expect(await refusal("notes.txt", `6: hum\r\n\n${long}`)).toContain(
      `notes.txt line 3: no strip followed by words: "${long}". |`,
    );
    expect(await refusal("notes.txt", `${long}x`)).toContain(
      `line 1: no strip followed by words: "${long}…". |`,
    );
    expect(await refusal("notes.txt", "6: hum\n9: hum")).toMatch(
      /^notes\.txt line 2: .*Nothing was imported\.$/,
    );
    expect(await refusal("notes.txt", "2031-02-31 6: hum")).toMatch(
      /^notes\.txt line 1: "2031-02-31" /,
    );
  });

  it("that is empty or a remark is none", async () => {
    expect(await lines("# from the pad\n\n   \n6: hum\n# 9\n#7: dead\n")).toMatchObject([
      { strip: "6" },
      { strip: "7", text: "dead" },
    ]);
    expect(await refusal("notes.txt", "# from the pad\n")).toMatch(/ no notes?\. \| A text /);
  });

  it("has its own words in the doubt", async () => {
    expect(await lines("6: hum\n6 dB louder")).toMatchObject([
      {},
      { doubt: expect.stringMatching(/notes\.txt line 2: "6 dB louder"$/) },
    ]);
  });
});

describe("a file that holds no notes", () => {
  it.each([
    ["notes.xlsx", "6: hum", /is a spreadsheet, which is not read\. \| .*CSV \(UTF-8\)/],
    ["notes.ods", "6: hum", /is a spreadsheet/],
    // The first bytes of a zip archive and of a compound file.
    ["notes.txt", Uint8Array.of(0x50, 0x4b, 3, 4, 9), /is a spreadsheet/],
    ["notes.txt", Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 9), /is a spreadsheet/],
    ["notes.txt", Uint8Array.of(0x50, 0x4b, 3, 5, 9), /^notes\.txt line 1/],
    ["desk.yaml", "6: hum", /settings.* not /],
    ["desk.yml", "6: hum", /settings.* not /],
    ["notes.txt", Uint8Array.of(0x36, 0x3a, 0x20, 0xe9), /is not .*text in UTF-8/],
    ["notes.txt", "x".repeat(5_000_001), /too large/],
    ["notes.txt", "", / no note/],
    ["notes.csv", "", /the column "strip" is missing/],
  ] as const)("%s, case %#, is refused with what it is", async (name, content, told) => {
    expect(await refusal(name, content)).toMatch(told);
  });

  it("that leads to itself is none that can be read", async () => {
    symlinkSync("loop.txt", join(folder, "loop.txt"));
    await expect(readImportedNotes(join(folder, "loop.txt"), desk)).rejects.toMatchObject({
      code: "no-such-file",
      message: expect.stringMatching(/^Cannot read .*loop\.txt \(ELOOP\)\.$/),
    });
  });

  it("is told apart from one that is not there, and from a folder", async () => {
    mkdirSync(join(folder, "inner.txt"));
    await expect(readImportedNotes(join(folder, "inner.txt"), desk)).rejects.toThrow(
      /is not a regular file/,
    );
    for (const name of ["nowhere.txt", "notes.txt/nowhere.txt"]) {
      await expect(readImportedNotes(join(folder, name), desk)).rejects.toMatchObject({
        code: "no-such-file",
        message: expect.stringMatching(/there is no such file/),
      });
    }
  });
});

describe("the columns of a spreadsheet", () => {
  const table = (...rows: readonly string[]) => readFile("notes.csv", rows.join("\n"));
  const refused = (...rows: readonly string[]) => refusal("notes.csv", rows.join("\n"));

  it.each([[","], [";"], ["\t"]])("are parted by %j where most are, in any case", async (sign) => {
    const rows = ["\ufeffStrip, TEXT ,who".replaceAll(",", sign), `6${sign}hum${sign} Jo `];
    expect(await table(...rows)).toStrictEqual([{ strip: "6", text: "hum", who: "Jo" }]);
  });

  it("may stand in any order, and rows of blanks are none", async () => {
    expect(await table("text,strip", "hum,6", " , ", "", "hiss,7")).toMatchObject([
      { strip: "6", text: "hum" },
      { strip: "7", text: "hiss" },
    ]);
    expect(await table("text,strip", "hum,6,,")).toHaveLength(1);
    expect(await table("text,strip,", "hum,6, ")).toHaveLength(1);
  });

  it("need names: each one, known, once, and strip and text among them", async () => {
    expect(await refused("text,strip", "hum,6,loud")).toMatch(
      /^notes\.csv line 2: "loud" is in a column that has no name\./,
    );
    expect(await refused("text,strip,", "hum,6, loud ")).toMatch(/: "loud" is in a column/);
    expect(await refused("text,strip,", "hum,6,loud")).toMatch(/in a column that has no name/);
    expect(await refused("text,stripp", "hum,6")).toMatch(
      /line 1: no column is called "stripp"\. \| Did you mean strip\? Columns: date, strip/,
    );
    expect(await refused("text,strip,xyzzyxyzzy", "hum,6,")).toMatch(/\| Columns: date, strip/);
    expect(await refused("text,strip,text", "hum,6,")).toMatch(/two columns are called "text"/);
    expect(await refused("strip,who", "6,Jo")).toMatch(/the column "text" is missing/);
    expect(await refused("text,who", "hum,Jo")).toMatch(/the column "strip" is missing/);
    expect(await refused("text,strip", "hum,6", '"hum,6')).toMatch(/is not readable as CSV: /);
  });

  it("take a name of 60 characters, and none longer", async () => {
    const name = "n".repeat(60);
    expect(await table("strip,text,who", `6,hum,${name}`)).toMatchObject([{ who: name }]);
    expect(await refused("strip,text,who", `6,hum,${name}n`)).toMatch(/the name "n+…" is too long/);
  });

  it("take a symptom and a control of the list in any case", async () => {
    expect(await table("strip,text,control,symptom", "6,, Fader ,HUM")).toMatchObject([
      { control: "fader", symptom: "hum" },
    ]);
    expect(await refused("strip,text,symptom", "6,,humm")).toMatch(
      /line 2: "humm" is not on the list\. \| Did you mean hum\? The list: /,
    );
    const [note] = await table("strip,text,control", "6,hum,");
    expect(note).toStrictEqual({ strip: "6", text: "hum" });
  });
});
