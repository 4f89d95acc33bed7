import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { readImportedNotes } from "../../../src/service/notebook/import.js";

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

  it("is refused where it says nothing", async () => {
    await expect(read("2031-03-14,6,mic,,,")).rejects.toThrow("no words about strip 6.");
    await expect(read("2031-03-14,6,mic,  ,,")).rejects.toThrow("no words about strip 6.");
  });
});
