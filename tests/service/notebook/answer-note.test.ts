import { expect, it } from "vitest";
import { answerNote } from "../../../src/service/notebook/answer-note.js";
import type { Entry } from "../../../src/service/notebook/types.js";

// What to try: common practice, no source.

function entryOf(text: string, place: object): Entry {
  const line = { note: 1, id: "n1", date: "2031-03-14T12:00:00Z", kind: "fault", ...place, text };
  return { id: "n1", line: line as Entry["line"], at: 1, corrections: [] };
}
const todoOf = (text: string, place: object) => {
  const entry = entryOf(text, place);
  return answerNote(entry, [entry], undefined).firstAid?.todo;
};

it("has nobody work a fader that moves by itself", () => {
  const automation = { section: "automation", sectionKind: "automation" };
  expect(todoOf("faders jump by themselves", automation)).toMatch(/^keep your fingers off faders/);
  expect(todoOf("fader scratchy", { strip: "7" })).toMatch(/move it from end to end/);
});

it("has nobody open a supply, and tries nothing where there is a danger", () => {
  const supply = { section: "supply", sectionKind: "supply" };
  expect(todoOf("fan noisy", supply)).toMatch(/^leave it closed/);
  expect(todoOf("burning smell, hums", supply)).toBeUndefined();
});
