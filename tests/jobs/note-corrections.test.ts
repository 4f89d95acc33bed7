import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { closeNotes } from "../../src/jobs/note/close-notes.js";
import { correctNote } from "../../src/jobs/note/correct-note.js";
import { listNotes } from "../../src/jobs/note/list-notes.js";
import { noteFault } from "../../src/jobs/note/note-fault.js";
import { noteMeter } from "../../src/jobs/note/note-meter.js";
import { noteRepair } from "../../src/jobs/note/note-repair.js";
import { plan } from "../../src/jobs/plan.js";

const text = `${formatStarterDesk({ name: "Desk", strips: "12", inputs: ["mic", "line"], mainsHz: 50 })}
rails: [17, -17]
places:
  PSU A: { kind: supply, feeds: 1-12 }
`;

function newDesk(): string {
  const desk = mkdtempSync(join(tmpdir(), "corrections-"));
  writeFileSync(join(desk, "desk.yaml"), text);
  return desk;
}

const lineCount = (desk: string) =>
  readFileSync(join(desk, "notebook.jsonl"), "utf8").trim().split("\n").length;

describe("correctNote", () => {
  it("puts another place, control, symptom and day, each as a line of its own", async () => {
    const desk = newDesk();
    await noteFault({ desk, place: "6", text: "hum", date: "2031-03-14" });
    const before = readFileSync(join(desk, "notebook.jsonl"), "utf8");
    expect(correctNote({ desk, id: "n1", place: "7/mic" }).line).toMatchObject({
      strip: "7",
      input: "mic",
    });
    expect(correctNote({ desk, id: "n1", control: "fader" }).line).toMatchObject({
      control: "fader",
    });
    expect(correctNote({ desk, id: "n1", symptom: "buzz" }).line).toMatchObject({
      control: "fader",
      symptom: "buzz",
    });
    const corrected = correctNote({ desk, id: "n1", noticed: "2031-03-10", date: "2031-03-20" });
    expect(corrected.line.date.slice(0, 10)).toBe("2031-03-10");
    expect(corrected.corrections).toHaveLength(4);
    expect(lineCount(desk)).toBe(5);
    expect(readFileSync(join(desk, "notebook.jsonl"), "utf8").startsWith(before)).toBe(true);
  });

  it("moves a note to a section and to the desk at large, and takes a word away", async () => {
    const desk = newDesk();
    await noteFault({ desk, place: "6/mic", text: "hum", control: "gain" });
    const { line } = correctNote({ desk, id: "n1", place: "group 3", control: "none" });
    expect(line).toMatchObject({ section: "group 3", sectionKind: "group" });
    expect(line).not.toHaveProperty("strip");
    expect(line).not.toHaveProperty("input");
    expect(line).not.toHaveProperty("control");
    const whole = correctNote({ desk, id: "n1", place: "desk" }).line;
    expect(whole).not.toHaveProperty("section");
    expect(whole).not.toHaveProperty("strip");
  });

  it("puts right what was read off a meter, and the verdict with it", async () => {
    const desk = newDesk();
    noteMeter({ desk, place: "6", what: "rail", text: "", plus: "17.1", minus: "-12" });
    expect((await plan({ desk })).plan.steps).not.toEqual([]);
    const { line } = correctNote({ desk, id: "n1", minus: "-17.2" });
    expect(line).toMatchObject({
      values: [
        { at: "plus", value: 17.1, nominal: 17 },
        { at: "minus", value: -17.2, nominal: -17 },
      ],
    });
    expect((await plan({ desk })).plan.steps).toEqual([]);
  });

  it("judges by another nominal value, ohms as they were", () => {
    const desk = newDesk();
    noteMeter({ desk, place: "6", what: "resistor", text: "", value: "6.1k", nominal: "6.8k" });
    const { line } = correctNote({ desk, id: "n1", nominal: "6.2k", part: "R14" });
    expect(line).toMatchObject({ part: "R14", values: [{ value: 6100, nominal: 6200 }] });
  });

  it("opens again what was closed by mistake, and it can be closed again", async () => {
    const desk = newDesk();
    await noteFault({ desk, place: "6", text: "hum" });
    closeNotes({ desk, ids: ["n1"], text: "" });
    expect(listNotes(desk, "open").entries).toEqual([]);
    correctNote({ desk, id: "n1", reopen: "reopen" });
    expect(listNotes(desk, "open").entries.map(({ id }) => id)).toEqual(["n1"]);
    closeNotes({ desk, ids: ["n1"], text: "" });
    expect(listNotes(desk, "open").entries).toEqual([]);
  });

  it("refuses what does not belong to such a note, and changes nothing", async () => {
    const desk = newDesk();
    await noteFault({ desk, place: "6", text: "hum" });
    noteMeter({ desk, place: "6", what: "rail", text: "", plus: "17" });
    expect(() => correctNote({ desk, id: "n1", plus: "17" })).toThrow("no values");
    expect(() => correctNote({ desk, id: "n2", control: "fader" })).toThrow("no control");
    expect(() => correctNote({ desk, id: "n1", reopen: "reopen" })).toThrow("not closed");
    expect(() => correctNote({ desk, id: "n1" })).toThrow("Nothing to correct");
    expect(() => correctNote({ desk, id: "n1", symptom: "humm" })).toThrow("not on the list");
    expect(lineCount(desk)).toBe(2);
  });
});

describe("an answer to a note", () => {
  it("says what it was taken for and what to try", async () => {
    const desk = newDesk();
    const { answer } = await noteFault({ desk, place: "6", text: "fader crackles on mic" });
    expect(answer).toMatchObject({
      place: { strip: "6", input: "mic" },
      taken: "fault",
      faults: [{ control: "fader", symptom: "crackle" }],
      firstAid: { carryOn: "care" },
    });
  });

  it("says that it did not understand, keeps the letter and plans no opening for it", async () => {
    const desk = newDesk();
    const words = "Ask Jo  about this one!";
    const { answer, entry } = await noteFault({ desk, place: "6", text: words });
    expect(answer?.taken).toBe("not understood");
    expect(entry.line.text).toBe(words);
    const { plan: made } = await plan({ desk });
    expect(made.steps).toEqual([]);
    expect(made.parts).toEqual([]);
    expect(made.outside).toMatchObject([{ place: "6", kind: "look at" }]);
  });

  it("takes what is in order for that, and names what may be closed", async () => {
    const desk = newDesk();
    await noteFault({ desk, place: "6", text: "hum" });
    const { answer } = await noteFault({ desk, place: "6", text: "hum is gone" });
    expect(answer).toMatchObject({ taken: "in order", mayClose: ["n1"] });
    expect(listNotes(desk, "open").entries.map(({ id }) => id)).toEqual(["n1"]);
    expect((await plan({ desk })).plan.openNotes).toBe(1);
    const { mayClose } = noteRepair({ desk, place: "6", text: "braid replaced", parts: [] });
    expect(mayClose).toEqual(["n1"]);
  });

  it("never loses a danger for its place", async () => {
    const desk = newDesk();
    const { isPlaceUnknown, entry, dangers } = await noteFault({
      desk,
      place: "25",
      text: "smells burnt",
    });
    expect(isPlaceUnknown).toBe(true);
    expect(entry.line.text).toBe("25 smells burnt");
    expect(dangers).toEqual(["burning"]);
    await expect(noteFault({ desk, place: "25", text: "hums" })).rejects.toThrow("no strip");
    await expect(noteFault({ desk, place: "psu", text: "humming loud" })).resolves.toMatchObject({
      dangers: ["transformer"],
    });
  });

  it("gives a reading in order no place among what is open, and finds notes by section", async () => {
    const desk = newDesk();
    noteMeter({ desk, place: "6", what: "rail", text: "", plus: "17.1" });
    await noteFault({ desk, place: "PSU", text: "A fan rattles" });
    await noteFault({ desk, place: "desk", text: "hum" });
    expect(listNotes(desk, "open").entries.map(({ id }) => id)).toEqual(["n2", "n3"]);
    expect(listNotes(desk, "all", "PSU A").entries.map(({ id }) => id)).toEqual(["n2"]);
    expect(listNotes(desk, "all", "desk").entries.map(({ id }) => id)).toEqual(["n3"]);
    const { plan: made } = await plan({ desk });
    expect(made.places?.map(({ section }) => section)).toEqual(["PSU A"]);
  });
});
