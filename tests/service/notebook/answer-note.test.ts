import { describe, expect, it } from "vitest";
import { answerNote, listOpenFaultsAt } from "../../../src/service/notebook/answer-note.js";
import type { Entry } from "../../../src/service/notebook/types.js";
import { path, round } from "../limits/rounds.js";

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
  expect(todoOf("faders jump by themselves", automation)).toMatch(
    /^keep your fingers away from faders/,
  );
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
    expect(stayOff.map(({ note }) => note)).toStrictEqual(off);
    expect(elsewhere.map(({ note }) => note)).toStrictEqual(other);
    if (entry.line.text.includes("belt")) continue;
    expect(firstAid === undefined).toBe(off.length > 0);
  }
});

it("asks for the reading of a part that is only named", () => {
  const partOf = (text: string) => {
    const entry = entryOf(text, { strip: "9" });
    return answerNote(entry, [entry], undefined).part;
  };
  expect(partOf("R7 is off value")).toStrictEqual({ name: "R7", what: "resistor" });
  expect(partOf("c12 has dried out, I think")).toStrictEqual({ name: "C12", what: "capacitor" });
  expect(partOf("R7 replaced, was open")).toBeUndefined();
  expect(partOf("ask Jo about this one")).toBeUndefined();
});

describe("the answer to a note, whole", () => {
  const of = (id: string, text: string, place: object) => ({ ...entryOf(text, place), id });

  it("of a fault has its control and symptom, what to try, and nothing else", () => {
    const entry = of("n1", "fader scratchy", { strip: "7", input: "mic" });
    expect(answerNote(entry, [entry], undefined)).toStrictEqual({
      place: { strip: "7", input: "mic" },
      taken: "fault",
      faults: [{ control: "fader", symptom: "scratch" }],
      firstAid: expect.objectContaining({ todo: expect.any(String) }),
      stayOff: [],
      elsewhere: [],
      mayClose: [],
    });
  });

  it("of what is in order names the open faults that it may close", () => {
    const fine = of("n9", "all fine", { strip: "7" });
    const before = [of("n1", "hum", { strip: "7" }), of("n2", "hum", { strip: "8" })];
    expect(answerNote(fine, [...before, fine], undefined)).toStrictEqual({
      place: { strip: "7" },
      taken: "in order",
      faults: [],
      stayOff: [],
      elsewhere: [],
      mayClose: ["n1"],
    });
    // A fault may close none.
    const hum = of("n9", "hum", { strip: "7" });
    expect(answerNote(hum, [...before, hum], undefined).mayClose).toStrictEqual([]);
  });

  it("of what is not understood, or of a danger, tries nothing", () => {
    const odd = of("n1", "ask Jo about this one", { strip: "7" });
    expect(answerNote(odd, [odd], undefined)).toStrictEqual({
      place: { strip: "7" },
      taken: "not understood",
      faults: [],
      stayOff: [],
      elsewhere: [],
      mayClose: [],
    });
    const burnt = of("n1", "smell of burning", { strip: "7" });
    expect(answerNote(burnt, [burnt], undefined)).toStrictEqual({
      place: { strip: "7" },
      taken: "fault",
      faults: [],
      stayOff: [],
      elsewhere: [],
      mayClose: [],
    });
  });

  it("offers another strip for what cannot be used, unless the desk is off", () => {
    const sound = ["6/mic", "7/mic", "8/mic"].map((name) => path({ path: name }));
    const instead = (text: string, ...more: readonly Entry[]) => {
      const entry = of("n1", text, { strip: "7", input: "mic" });
      return answerNote(entry, [entry, ...more], round(sound)).instead?.places;
    };
    expect(instead("dead")).toStrictEqual(["6/mic", "8/mic"]);
    expect(instead("ask Jo about this one")).toStrictEqual(["6/mic", "8/mic"]);
    expect(instead("all fine")).toBeUndefined();
    // A dark lamp keeps nobody from using the strip.
    expect(instead("LED dark")).toBeUndefined();
    expect(instead("smell of burning")).toStrictEqual(["6/mic", "8/mic"]);
    expect(instead("dead", of("n2", "got a belt off the metal", { strip: "3" }))).toBeUndefined();
    expect(instead("dead", of("n2", "resistor hot, brown", { strip: "3" }))).toStrictEqual([
      "6/mic",
      "8/mic",
    ]);
  });
});

describe("open faults of a place", () => {
  const at = (id: string, place: object) => ({ ...entryOf("hum", place), id });
  const entries = [
    at("n1", { strip: "6" }),
    at("n2", { strip: "6", input: "mic" }),
    at("n3", { strip: "6", input: "line" }),
    at("n4", { section: "group 1", sectionKind: "group" }),
    at("n5", {}),
  ];
  it.each([
    [{ strip: "6" }, ["n1", "n2", "n3"]],
    [{ strip: "6", input: "mic" }, ["n1", "n2"]],
    [{ section: "group 1", sectionKind: "group" }, ["n4"]],
    [{ section: "group 2", sectionKind: "group" }, []],
    [{ strip: "7" }, []],
    [{}, ["n5"]],
  ] as const)("%j are %j", (place, ids) => {
    expect(listOpenFaultsAt(place, entries)).toStrictEqual(ids);
  });

  it("are those of faults alone that nobody has closed or found in order", () => {
    const one = at("n1", { strip: "6" });
    const others: readonly Entry[] = [
      { ...at("n2", { strip: "6" }), closed: {} as never },
      { ...entryOf("all fine", { strip: "6" }), id: "n3" },
      { ...entryOf("hum", { strip: "6", kind: "repair", parts: [] }), id: "n4" },
      { ...entryOf("hum", { strip: "6", kind: "off", what: "hum" }), id: "n5" },
    ];
    expect(listOpenFaultsAt({ strip: "6" }, [...others, one])).toStrictEqual(["n1"]);
  });
});

it("what another note says of the strip is not said by this one", () => {
  const of = (id: string, text: string) => ({ ...entryOf(text, { strip: "7" }), id });
  const hot = of("n1", "resistor hot, brown");
  const odd = of("n2", "ask Jo about this one");
  expect(answerNote(odd, [hot, odd], undefined)).toMatchObject({ taken: "not understood" });
  // A part is asked for only where there is no fault, and in a note of one.
  const both = of("n3", "hum, R7 is off value");
  expect(answerNote(both, [both], undefined)).not.toHaveProperty("part");
  const repaired = entryOf("R7 is off value", { strip: "7", kind: "repair", parts: [] });
  expect(answerNote(repaired, [repaired], undefined)).not.toHaveProperty("part");
});
