import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
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
    expect(reason(line({}))).toEqual([]);
    expect(reason(line({}), line({ id: "n2", date: 5 }))).toMatchObject([
      { at: 2, reason: expect.stringMatching(/^"date" is not valid \(/) },
    ]);
    expect(reason([3])).toMatchObject([{ at: 1, reason: "it is not a notebook entry" }]);
    expect(reason(line({ note: 2 }))).toMatchObject([{ reason: "a newer deskround wrote it" }]);
  });
});
