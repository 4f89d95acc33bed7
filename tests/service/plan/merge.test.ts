import { describe, expect, it } from "vitest";
import type { NextCheck } from "../../../src/diagnose/checks/types.js";
import { groupBySection } from "../../../src/service/plan/group-by-section.js";
import { mergeParts } from "../../../src/service/plan/merge-parts.js";
import { mergeQuestions } from "../../../src/service/plan/merge-questions.js";
import type { OutsideItem, PlanItem } from "../../../src/service/plan/types.js";

// What is one job or one question: the sentences of the doc comments of these three files.

const item = (parts: Partial<PlanItem> = {}): PlanItem => ({
  key: "7 part-r1",
  strip: "7",
  inputs: ["mic"],
  cause: "part-r1",
  name: { code: "off-value", parts: ["R1"] },
  urgency: "service",
  worth: 9,
  minutes: 25,
  says: [],
  steps: [],
  look: "",
  replace: "replace it",
  settle: undefined,
  risks: [],
  parts: [],
  named: [],
  paths: [],
  notes: [],
  ...parts,
});
const r2: Partial<PlanItem> = {
  key: "7 part-r2",
  cause: "part-r2",
  name: { code: "off-value", parts: ["R2"] },
};
const boards = (...names: readonly string[]) => ({ boards: { names, stages: [] } });

describe("mergeParts", () => {
  const countJobs = (a: Partial<PlanItem>, b: Partial<PlanItem>) =>
    mergeParts([item(a), item({ ...r2, ...b })]).length;

  it.each([
    ["the same input", {}, {}, 1],
    ["another strip", {}, { strip: "8" }, 2],
    ["a cause that is no part", {}, { cause: "noisy-device" }, 2],
    ["after a cause that is no part", { cause: "noisy-device" }, {}, 2],
    ["another input", {}, { inputs: ["line"] }, 2],
    ["other work", {}, { replace: "clean it" }, 2],
    ["other steps", {}, { steps: [{ power: "bench", text: "look" }] }, 2],
    ["the same board, whatever the input", boards("a"), { inputs: ["line"], ...boards("a") }, 1],
    ["another board, though the same input", boards("a"), boards("b"), 2],
    ["one of which the board is known", boards("a"), {}, 1],
    ["one of which the board is known, at another input", boards("a"), { inputs: ["line"] }, 2],
    [
      "the other of which the board is known, at another input",
      {},
      { inputs: ["line"], ...boards("a") },
      2,
    ],
  ] as const)("makes of a second part, %s, %#", (_, a, b, jobs) => {
    expect(countJobs(a as Partial<PlanItem>, b as Partial<PlanItem>)).toBe(jobs);
  });

  it("adds up what it joins, at the place of the first, half the time for each further", () => {
    const part = (name: string) => ({ part: name, value: "10 kΩ" });
    const other = item({ strip: "8", key: "8 part-r9", cause: "part-r9" });
    const first = item({
      says: [{ code: "points-to" } as never],
      parts: [{ role: "resistor", count: 1 }],
      named: ["R1 10 kΩ"],
      namedParts: [part("R1")],
      paths: ["7/mic"],
      notes: ["n1"],
    });
    const second = item({
      ...r2,
      worth: 4,
      minutes: 99,
      named: ["R2 10 kΩ"],
      namedParts: [part("R2")],
      paths: ["7/mic", "7/line"],
      notes: ["n2", "n1"],
    });
    const third = item({ ...r2, key: "7 part-r3", cause: "part-r3", name: { code: "not-clear" } });
    expect(mergeParts([first, other, second, third])).toStrictEqual([
      {
        ...first,
        key: "7 part-r1 part-r2 part-r3",
        cause: "part-r1 part-r2 part-r3",
        name: { code: "off-value", parts: ["R1", "R2"] },
        worth: 9 + 4 + 9,
        minutes: 25 * 2,
        named: ["R1 10 kΩ", "R2 10 kΩ"],
        namedParts: [part("R1"), part("R2")],
        paths: ["7/mic", "7/line"],
        notes: ["n1", "n2"],
      },
      other,
    ]);
    // 25 and a half of it are 37.5: a begun minute is one.
    const [both] = mergeParts([item(), item(r2)]);
    expect(both.minutes).toBe(38);
    expect(both).not.toHaveProperty("namedParts");
    expect(mergeParts([first])).toStrictEqual([first]);
    expect(mergeParts([])).toStrictEqual([]);
  });

  it("is of the whole strip where one of its parts is", () => {
    const inputs = (a: readonly string[], b: readonly string[]) =>
      mergeParts([
        item({ inputs: a, ...boards("a") }),
        item({ ...r2, inputs: b, ...boards("a") }),
      ])[0].inputs;
    expect(inputs(["mic"], ["line", "mic"])).toStrictEqual(["mic", "line"]);
    expect(inputs(["mic"], [])).toStrictEqual([]);
    expect(inputs([], ["mic"])).toStrictEqual([]);
  });
});

describe("mergeQuestions", () => {
  const ask = (place: string, parts: Partial<OutsideItem> = {}): OutsideItem => ({
    place,
    name: { code: "cause", name: "pad left in" },
    todo: { code: "confirm", by: "switch it off" },
    kind: "setting",
    ...parts,
  });
  const check = { check: "pad" } as NextCheck;

  it("asks once for a strip, with its paths, at the place of the first", () => {
    const other = ask("8/mic");
    expect(
      mergeQuestions([ask("7/mic"), other, ask("7/line"), ask("7/tape"), ask("7/line")]),
    ).toStrictEqual([{ ...ask("7"), paths: ["7/mic", "7/line", "7/tape"] }, other]);
    expect(mergeQuestions([ask("7/mic")])).toStrictEqual([ask("7/mic")]);
  });

  it.each([
    ["what is to be tried", { kind: "try first" }, { kind: "try first" }, 1],
    ["a patch", { kind: "patch" }, { kind: "patch" }, 2],
    ["what is recorded again", { kind: "record again" }, { kind: "record again" }, 2],
    ["another kind", { kind: "try first" }, {}, 2],
    ["another cause", {}, { name: { code: "cause", name: "gain off" } }, 2],
    ["another way to find out", {}, { todo: { code: "confirm", by: "look" } }, 2],
    ["after the check that pays", { next: check }, {}, 2],
    ["the check that pays", {}, { next: check }, 2],
    ["the whole strip", {}, { place: "7" }, 2],
    ["another strip", {}, { place: "8/line" }, 2],
  ] as const)("asks of %s, %#, so often", (_, a, b, count) => {
    expect(mergeQuestions([ask("7/mic", a), ask("7/line", b)])).toHaveLength(count);
  });
});

describe("groupBySection", () => {
  it("gives each section its items, what feeds others first, then by number", () => {
    const at = (strip: string, sectionKind?: PlanItem["sectionKind"], key = strip) =>
      item({ strip, key, ...(sectionKind === undefined ? {} : { sectionKind }) });
    const items = [
      at("group 10", "group"),
      at("lamps"),
      at("group 2", "group", "first"),
      at("PSU", "supply"),
      at("group 2", "group", "second"),
      at("master", "master"),
    ];
    expect(groupBySection(items)).toStrictEqual([
      { section: "PSU", kind: "supply", items: [items[3]] },
      { section: "group 2", kind: "group", items: [items[2], items[4]] },
      { section: "group 10", kind: "group", items: [items[0]] },
      { section: "master", kind: "master", items: [items[5]] },
      { section: "lamps", kind: "other", items: [items[1]] },
    ]);
    expect(groupBySection([])).toStrictEqual([]);
  });
});
