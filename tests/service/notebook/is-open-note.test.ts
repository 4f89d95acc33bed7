import { expect, it } from "vitest";
import { isOpenNote } from "../../../src/service/notebook/is-open-note.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";

const note = (line: object, ...more: readonly object[]) => {
  const lines = [line, ...more].map((one, k) =>
    JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-14T12:00:00Z", text: "", ...one }),
  );
  const { entries, damaged } = parseNotebook(Buffer.from(lines.join("\n")), "notebook.jsonl");
  expect(damaged).toStrictEqual([]);
  return entries[0];
};
const rail = (value: number) => ({
  kind: "meter",
  section: "PSU",
  sectionKind: "supply",
  what: "rail",
  part: "+18 V",
  values: [{ at: "rail", value, unit: "V", nominal: 18 }],
});

// A supply's rail is out from 5 % off (the meter's own judgement, tried in its tests).
it.each<[string, object, boolean]>([
  ["a fault", { kind: "fault", strip: "3", text: "crackles" }, true],
  ["words that say nothing yet", { kind: "fault", strip: "3", text: "look at this" }, true],
  ["that all is well", { kind: "fault", strip: "3", text: "all fine" }, false],
  ["a rail at its voltage", rail(18.02), false],
  ["a rail far off its voltage", rail(12), true],
  ["a repair", { kind: "repair", strip: "3", parts: [] }, false],
  [
    "what was left as it is",
    {
      kind: "accept",
      strip: "3",
      round: "2031-03-14-01",
      findings: [{ path: "3/mic", reading: "hiss", against: "siblings", deviation: 10 }],
    },
    false,
  ],
  ["what came off", { kind: "off", strip: "3", what: "knob" }, true],
])("%s", (_, line, open) => {
  expect(isOpenNote(note(line))).toBe(open);
});

it("nothing that was closed is open", () => {
  const fault = { kind: "fault", strip: "3", text: "crackles" };
  expect(isOpenNote(note(fault, { kind: "close", closes: "n1", figures: [] }))).toBe(false);
});
