import { describe, expect, it } from "vitest";
import { formatPlace } from "../../../src/desk/place.js";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { readTypedNote, readTypedNotes } from "../../../src/service/notebook/read-typed-note.js";

// What a colleague would understand: common practice, no source.
const desk = parseDesk(
  "name: The Quillmere desk\nmains: 50\nstrips: 24\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\n",
  "desk.yaml",
);
const placesOf = (typed: string) => {
  const [first, ...rest] = typed.split(" ");
  return readTypedNotes(first, rest.join(" "), desk).map(({ place }) => formatPlace(place));
};

it("a path may be named the other way round, and the rest is the note", () => {
  expect(readTypedNotes("mic", "7: hums", desk)).toStrictEqual([
    { place: { strip: "7", input: "mic" }, text: "hums" },
  ]);
});

describe("readTypedNotes", () => {
  it.each([
    ["5 and 7 hum", ["5", "7"]],
    ["3-6 no foldback", ["3", "4", "5", "6"]],
    ["3 to 5 dead", ["3", "4", "5"]],
    ["4,5 scratchy", ["4", "5"]],
    ["ch 8 & 9 talk to each other", ["8", "9"]],
    ["1, 2 and 4 hiss", ["1", "2", "4"]],
    ["seven: pfl dead, same on 9", ["7", "9"]],
    ["nineteen and twenty: no phantom", ["19", "20"]],
    ["7/mic and 8 hum", ["7/mic", "8/mic"]],
  ])("takes %j for several strips", (typed, places) => {
    expect(placesOf(typed)).toStrictEqual(places);
  });

  it.each([
    ["5 and 6 dB down", ["5"]],
    ["5- hums", ["5"]],
    ["5,mic hums", ["5/mic"]],
    ["7 - 3 dB low", ["7"]],
    ["12 -12 dB", ["12"]],
    ["14 duller than 13", ["14"]],
    ["9 10 dB quieter than 8", ["9"]],
    ["3 5 pin socket loose", ["3"]],
    ["8 two faders stick", ["8"]],
    ["master and 7 hum", ["master"]],
  ])("takes %j for one", (typed, places) => {
    expect(placesOf(typed)).toStrictEqual(places);
  });
});

describe("a typed note, whole", () => {
  const small = parseDesk(
    `name: The Quillmere desk
mains: 50
strips: 12
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4, strips: 1-8 }
places:
  PSU A: { kind: supply, feeds: 1-6 }
  talkback: other
`,
    "desk.yaml",
  );
  const read = (first: string, text: string) =>
    readTypedNotes(first, text, small).map(({ place, text: words, ...more }) => [
      formatPlace(place),
      words,
      ...Object.keys(more),
    ]);
  const both = (words: string, ...strips: readonly string[]) =>
    strips.map((strip) => [strip, words]);

  it.each([
    // A place at the beginning goes, with the marks behind it; the rest stays as it was typed.
    ["6", "hum", both("hum", "6")],
    ["6/mic", "hum", both("hum", "6/mic")],
    ["ch", "6: hums", both("hums", "6")],
    ["6", "— hum", both("— hum", "6")],
    ["6", "", both("", "6")],
    ["group", "3 hums", both("hums", "group 3")],
    ["group 3", "hums", both("hums", "group 3")],
    ["psu", "a smells", both("smells", "PSU A")],
    ["PSU A", "smells", both("smells", "PSU A")],
    ["desk", "hum", both("hum", "desk")],
    // A place within the words stays in them.
    ["the", "fader on strip 4 sticks", both("the fader on strip 4 sticks", "4")],
    // An input in the words counts, if the strip has it.
    ["6", "hum on mic", both("hum on mic", "6/mic")],
    ["7", "line dead", both("line dead", "7/line")],
    ["9", "line dead", both("line dead", "9")],
    ["6/mic", "hum on line", both("hum on line", "6/mic")],
    // The input first
    ["mic", "7", both("", "7/mic")],
    ["mic", "7: hums", both("hums", "7/mic")],
    ["mic", "7, hums\nbadly", both("hums\nbadly", "7/mic")],
    ["line", "3 & 4 hum", both("hum", "3/line", "4/line")],
  ])("%j %j is %j", (first, text, told) => {
    expect(read(first, text)).toStrictEqual(told);
  });

  it.each([
    // Each strip gets the whole text behind the list.
    ["6", "and 7: hum", both("hum", "6", "7")],
    ["6/line", "and 7 hum", both("hum", "6/line", "7/line")],
    ["6/line", "and 9 hum", both("hum", "6/line", "9")],
    ["5,7", "hum", both("hum", "5", "7")],
    ["5,7:", "hum", both("hum", "5", "7")],
    ["5,7 hum", "on mic", both("hum on mic", "5/mic", "7/mic")],
    ["5-7", "hum", both("hum", "5", "6", "7")],
    ["5+6", "dead", both("dead", "5", "6")],
    ["5,", "6 and 7 hum", both("hum", "5", "6", "7")],
    ["5,", "", both("", "5")],
    ["5, 6", "", both("", "5", "6")],
    ["5 and 7", "hum", both("hum", "5", "7")],
    ["6", "scratchy, same on 9", both("scratchy, same on 9", "6", "9")],
  ])("%j %j is a note of each strip", (first, text, told) => {
    expect(read(first, text)).toStrictEqual(told);
  });

  it("that looks like a strip which is not there is refused, and looks for no other", () => {
    for (const first of ["13", "13/mic", "#13", "5,13"]) {
      expect(() => readTypedNote(first, "hum on strip 4", small)).toThrow(/This desk has no strip/);
    }
    expect(() => readTypedNote("something", "odd", small)).toThrow(
      'This desk has no strip "something".',
    );
  });

  it("of a danger is taken without a place", () => {
    expect(read("smoke", "from somewhere")).toStrictEqual([
      ["desk", "smoke from somewhere", "isPlaceUnknown"],
    ]);
    expect(read("13", "smoke")).toStrictEqual([["desk", "13 smoke", "isPlaceUnknown"]]);
  });

  it("keeps a strip whose name looks like a list", () => {
    const strips = ["1", "2", "1-2"];
    const paths = strips.map((strip) => ({
      path: `${strip}/mic`,
      strip,
      input: "mic",
      family: "mic",
    }));
    const odd = { strips, paths, sections: [] };
    expect(readTypedNotes("1-2", "hum", odd)).toStrictEqual([
      { place: { strip: "1-2" }, text: "hum" },
    ]);
  });

  it("of a section that the desk file has not says which it has", () => {
    const group = { name: "group 1", kind: "group" } as const;
    const grouped = { ...small, sections: [...small.sections, group] };
    expect(() => readTypedNote("group", "9 hums", grouped)).toThrow(
      expect.objectContaining({
        message: "desk.yaml names no group 9 under `places`.",
        hint: "It names group 1; add it there, or write one of these.",
      }),
    );
    expect(readTypedNote("group", "1 hums", grouped)).toStrictEqual({
      place: { section: "group 1", sectionKind: "group" },
      text: "hums",
    });
    // A danger there is taken all the same.
    expect(readTypedNote("group", "9 smokes", grouped)).toMatchObject({ isPlaceUnknown: true });
  });
});
