import { describe, expect, it, test } from "vitest";
import type { MeterLine } from "../../../src/service/meter/judge.js";
import type { Entry, Notebook } from "../../../src/service/notebook/types.js";
import type { PlanItem } from "../../../src/service/plan/types.js";
import { judgeMeters, keepFirstOut, listMeterThings } from "../../../src/service/retest/meters.js";

// Expected: what the doc comments promise. A rail may be 5 % off, a DC voltage 20 mV.

function entry(id: string, what: MeterLine["what"], value: number, more: object = {}): Entry {
  const nominal = what === "rail" ? 15 : 0;
  const line = {
    kind: "meter",
    strip: "6",
    what,
    values: [{ at: "value", value, unit: "V", nominal }],
    text: "",
    ...more,
  };
  return { id, line: line as unknown as MeterLine, at: 1, corrections: [] };
}
const closed = (one: Entry): Entry => ({ ...one, closed: { kind: "close" } as never });
const fault = (id: string): Entry => ({ ...entry(id, "rail", 1, { kind: "fault" }) });
const notebook = (...entries: readonly Entry[]) => ({ entries }) as unknown as Notebook;
const itemOf = (...notes: readonly string[]) => ({ notes }) as unknown as PlanItem;
const ids = (entries: readonly Entry[]) => entries.map(({ id }) => id);

describe("the notebook as the plan saw it", () => {
  const kept = (...entries: readonly Entry[]) => ids(keepFirstOut(notebook(...entries)).entries);

  it("has the readings of a thing up to the first that is out", () => {
    expect(
      kept(entry("n1", "rail", 15), entry("n2", "rail", 12), entry("n3", "rail", 15)),
    ).toStrictEqual(["n1", "n2"]);
    expect(kept(entry("n1", "rail", 15), entry("n2", "rail", 15.1))).toStrictEqual(["n1", "n2"]);
  });

  it("takes other strips, readings and parts for other things", () => {
    const all = [
      entry("n1", "rail", 12),
      entry("n2", "rail", 12, { strip: "7" }),
      entry("n3", "direct", 1),
      entry("n4", "direct", 1, { part: "C1" }),
      entry("n5", "direct", 1, { part: "C2" }),
    ];
    expect(kept(...all)).toStrictEqual(["n1", "n2", "n3", "n4", "n5"]);
    expect(kept(...all, entry("n6", "direct", 0, { part: "C2" }))).not.toContain("n6");
  });

  it("has all other notes, and readings that are closed", () => {
    const out = entry("n1", "rail", 12);
    expect(
      kept(out, fault("n2"), closed(entry("n3", "rail", 11)), entry("n4", "rail", 10)),
    ).toStrictEqual(["n1", "n2", "n3"]);
    // One that is closed raises nothing.
    expect(kept(closed(out), entry("n2", "rail", 12))).toStrictEqual(["n1", "n2"]);
  });
});

test("the readings of an item are all open ones of the things in its notes", () => {
  const book = notebook(
    entry("n1", "rail", 12),
    entry("n2", "direct", 1),
    fault("n3"),
    entry("n4", "rail", 13),
    closed(entry("n5", "rail", 14)),
    entry("n6", "rail", 15, { strip: "7" }),
  );
  const things = (...notes: readonly string[]) => listMeterThings(itemOf(...notes), book).map(ids);
  expect(things("n1")).toStrictEqual([["n1", "n4"]]);
  expect(things("n4", "n1", "n2")).toStrictEqual([["n1", "n4"], ["n2"]]);
  expect(things("n3", "n5")).toStrictEqual([]);
});

describe("an item by its meter readings", () => {
  const judge = (...values: readonly number[]) =>
    judgeMeters(
      itemOf("n1"),
      notebook(...values.map((value, k) => entry(`n${k + 1}`, "direct", value, { part: "C3" }))),
    );

  it("is not shown by a single one", () => {
    expect(judge(1)).toStrictEqual([
      {
        outcome: "not shown",
        figure: {
          code: "metered",
          what: "direct C3",
          earlier: [{ at: "value", value: 1, unit: "V", nominal: 0 }],
        },
      },
    ]);
    const [{ figure }] = judgeMeters(itemOf("n1"), notebook(entry("n1", "rail", 12)));
    expect(figure).toMatchObject({ what: "rail" });
    expect(judgeMeters(itemOf(), notebook(entry("n1", "rail", 12)))).toStrictEqual([]);
  });

  // A twentieth of the 2 V that it was off: 0.1 V.
  it.each([
    [2, 0.02, "mended"],
    [2, 0.03, "better"],
    [2, 1.89, "better"],
    [2, 1.91, "unchanged"],
    [2, 2, "unchanged"],
    [2, -2.09, "unchanged"],
    [2, 2.11, "worse"],
    // It was in order at first.
    [0, 0.5, "worse"],
  ])("of %d V and then %d V is %s", (first, last, outcome) => {
    const [found, ...others] = judge(first, last);
    expect(found.outcome).toBe(outcome);
    expect(others).toStrictEqual([]);
    expect(found.figure).toMatchObject({
      earlier: [{ value: first }],
      later: [{ value: last }],
    });
    expect("isInOrder" in found.figure).toBe(outcome === "mended");
  });

  it("goes by the point that is furthest off, and by the latest of each", () => {
    const rails = (id: string, plus: number, minus?: number) => {
      const values = [
        { at: "plus", value: plus, unit: "V", nominal: 15 },
        ...(minus === undefined ? [] : [{ at: "minus", value: minus, unit: "V", nominal: -15 }]),
      ];
      return entry(id, "rail", 0, { values });
    };
    const outcome = (...entries: readonly Entry[]) =>
      judgeMeters(itemOf("n1"), notebook(...entries)).map((one) => one.outcome);
    expect(outcome(rails("n1", 13, -9), rails("n2", 12, -13))).toStrictEqual(["better"]);
    // The minus rail is as it was.
    expect(outcome(rails("n1", 13, -9), rails("n2", 15))).toStrictEqual(["unchanged"]);
  });
});
