import { expect, it } from "vitest";
import { findSubstitutes } from "../../../src/service/notebook/find-substitutes.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { path, round } from "../limits/rounds.js";

const finding = {
  reading: "hiss",
  against: "siblings",
  severity: "service",
  words: "hiss +12 dB",
} as never;
const paths = [1, 2, 3, 4, 5, 6].flatMap((strip) => [
  path({ path: `${strip}/mic`, ...(strip === 4 ? { findings: [finding] } : {}) }),
  path({ path: `${strip}/line` }),
]);
const latest = round(paths);

function entries(...lines: readonly object[]) {
  const texts = lines.map((line, k) =>
    JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-14T12:00:00Z", text: "", ...line }),
  );
  return parseNotebook(Buffer.from(texts.join("\n")), "notebook.jsonl").entries;
}

it("names the nearest of the same family that were in order and of which nothing is open", () => {
  const place = { strip: "5", input: "mic" };
  // 4/mic stood out in the round, 6 has an open note.
  const notes = entries({ kind: "fault", strip: "6", text: "fader crackles" });
  expect(findSubstitutes(place, latest, notes)).toStrictEqual({
    round: "2031-03-14-01",
    places: ["3/mic", "2/mic", "1/mic"],
  });
});

it("lets a note of another input, one that all is well, and a closed one be", () => {
  const place = { strip: "5", input: "mic" };
  const notes = entries(
    { kind: "fault", strip: "6", input: "line", text: "hum" },
    { kind: "fault", strip: "6", text: "works fine now" },
    { kind: "fault", strip: "6", text: "hum" },
    { kind: "close", closes: "n3", figures: [] },
  );
  expect(findSubstitutes(place, latest, notes)?.places[0]).toBe("6/mic");
});

it("wants all inputs of a strip in order for a whole strip", () => {
  expect(findSubstitutes({ strip: "5" }, latest, [])?.places).toStrictEqual(["6", "3", "2"]);
});

it("has nothing to say without a round, or about what is not a strip", () => {
  expect(findSubstitutes({ strip: "5" }, undefined, [])).toBeUndefined();
  expect(findSubstitutes({ section: "master" }, latest, [])).toBeUndefined();
  expect(findSubstitutes({ strip: "9" }, latest, [])).toBeUndefined();
});

it.each<[string, object, boolean]>([
  [
    "a reading that is off",
    { kind: "meter", what: "rail", values: [{ at: "plus", value: 9, unit: "V", nominal: 15 }] },
    false,
  ],
  [
    "a reading in order",
    { kind: "meter", what: "rail", values: [{ at: "plus", value: 15, unit: "V", nominal: 15 }] },
    true,
  ],
  ["what came off it", { kind: "off", what: "knob" }, false],
  ["what was repaired", { kind: "repair", parts: [] }, true],
  ["a danger", { kind: "fault", text: "works fine, smell of burning" }, false],
  ["a fault of the same input", { kind: "fault", input: "mic", text: "hum" }, false],
  ["a fault of another input", { kind: "fault", input: "line", text: "hum" }, true],
])("%s decides whether strip 6 is offered", (_, line, isOffered) => {
  const notes = entries({ strip: "6", ...line });
  const places = findSubstitutes({ strip: "5", input: "mic" }, latest, notes)?.places;
  expect(places?.includes("6/mic")).toBe(isOffered);
});

it("a note of one input speaks against a whole strip", () => {
  const notes = entries({ kind: "fault", strip: "6", input: "line", text: "hum" });
  expect(findSubstitutes({ strip: "5" }, latest, notes)?.places).toStrictEqual(["3", "2", "1"]);
});

it("offers three at most, the nearest of both sides first, with as many inputs of the family", () => {
  const many = round([1, 2, 3, 4, 5, 6].map((strip) => path({ path: `${strip}/mic` })));
  expect(findSubstitutes({ strip: "3", input: "mic" }, many, [])?.places).toStrictEqual([
    "2/mic",
    "4/mic",
    "1/mic",
  ]);
  const unlike = round([
    path({ path: "1/mic" }),
    path({ path: "1/line" }),
    path({ path: "2/mic" }),
    path({ path: "3/mic", family: "mic of another make" }),
    path({ path: "3/line" }),
    path({ path: "4/mic", status: "missing" }),
    path({ path: "4/line" }),
    path({ path: "5/mic" }),
    path({ path: "5/line" }),
  ]);
  expect(findSubstitutes({ strip: "1" }, unlike, [])?.places).toStrictEqual(["5"]);
  expect(findSubstitutes({ strip: "1", input: "tape" }, unlike, [])).toBeUndefined();
});
