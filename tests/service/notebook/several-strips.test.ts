import { describe, expect, it } from "vitest";
import { formatPlace } from "../../../src/desk/place.js";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { readTypedNotes } from "../../../src/service/notebook/read-typed-note.js";

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
  expect(readTypedNotes("mic", "7: hums", desk)).toEqual([
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
    expect(placesOf(typed)).toEqual(places);
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
    expect(placesOf(typed)).toEqual(places);
  });
});
