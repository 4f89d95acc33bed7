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

it("has nobody work a fader that moves on its own", () => {
  const automation = { section: "automation", sectionKind: "automation" };
  expect(todoOf("faders jump by themselves", automation)).toMatch(/^keep your fingers off faders/);
  expect(todoOf("fader scratchy", { strip: "7" })).toMatch(/move it from end to end/);
});

it("has nobody open a supply, and tries nothing where there is a danger", () => {
  const supply = { section: "supply", sectionKind: "supply" };
  expect(todoOf("fan noisy", supply)).toMatch(/^leave it closed/);
  expect(todoOf("burning smell, hums", supply)).toBeUndefined();
});

it("sends nobody on with the work while a danger is open", () => {
  const of = (id: string, text: string, strip: string) => ({
    ...entryOf(text, { strip }),
    id,
  });
  const shock = of("n1", "got a belt off the metal", "3");
  const hot = of("n2", "resistor hot, brown", "5");
  const answer = (entry: Entry, open: Entry) => answerNote(entry, [open, entry], undefined);
  // A shock keeps all of the desk off, a hot resistor its strip.
  for (const [entry, open, off, other] of [
    [of("n3", "LED dark", "7"), shock, ["n1"], []],
    [of("n3", "pan scratchy", "5"), hot, ["n2"], []],
    [of("n3", "pan scratchy", "6"), hot, [], ["n2"]],
    [of("n3", "got a belt off the metal", "6"), hot, [], []],
  ] as const) {
    const { stayOff, elsewhere, firstAid } = answer(entry, open);
    expect(stayOff.map(({ note }) => note)).toEqual(off);
    expect(elsewhere.map(({ note }) => note)).toEqual(other);
    if (entry.line.text.includes("belt")) continue;
    expect(firstAid === undefined).toBe(off.length > 0);
  }
});

it("asks for the reading of a part that is only named", () => {
  const partOf = (text: string) => {
    const entry = entryOf(text, { strip: "9" });
    return answerNote(entry, [entry], undefined).part;
  };
  expect(partOf("R7 is off value")).toEqual({ name: "R7", what: "resistor" });
  expect(partOf("c12 has dried out, I think")).toEqual({ name: "C12", what: "capacitor" });
  expect(partOf("R7 replaced, was open")).toBeUndefined();
  expect(partOf("ask Jo about this one")).toBeUndefined();
});
