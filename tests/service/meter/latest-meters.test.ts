import { describe, expect, it } from "vitest";
import type { MeterFinding } from "../../../src/diagnose/meter-tolerance.js";
import type { MeterLine } from "../../../src/service/meter/judge.js";
import { listFindingsFor, listLatestMeters } from "../../../src/service/meter/latest-meters.js";
import { mergeReadings } from "../../../src/service/meter/merge-readings.js";
import type { Entry } from "../../../src/service/notebook/types.js";

// Expected: what the doc comments promise, of a notebook of a few lines.

function line(what: MeterLine["what"], volts: Record<string, number>, more: object = {}) {
  return {
    note: 1,
    id: "n1",
    date: "2031-03-14T12:00:00Z",
    kind: "meter",
    strip: "6",
    what,
    values: Object.entries(volts).map(([at, value]) => ({ at, value, unit: "V" })),
    text: "",
    ...more,
  } as unknown as MeterLine;
}
const list = (...lines: readonly MeterLine[]) =>
  listLatestMeters(
    lines.map((one, k): Entry => ({ id: `n${k + 1}`, line: one, at: k + 1, corrections: [] })),
  );
const short = (...lines: readonly MeterLine[]) =>
  list(...lines).map((one) => [
    one.entry.id,
    Object.fromEntries(one.line.values.map(({ at, value }) => [at, value])),
  ]);

describe("the latest readings", () => {
  it("have the latest value of each point, as of the last note of the thing", () => {
    expect(short(line("rail", { plus: 15, minus: -15 }), line("rail", { plus: 12 }))).toStrictEqual(
      [["n2", { plus: 12, minus: -15 }]],
    );
    expect(short()).toStrictEqual([]);
  });

  it("are of one thing each: a place, a kind of reading, a part", () => {
    const things = [
      line("rail", { plus: 15 }),
      line("rail", { plus: 14 }, { strip: "7" }),
      line("rail", { plus: 13 }, { input: "mic" }),
      line("direct", { value: 1 }),
      line("direct", { value: 2 }, { part: "C1" }),
      line("direct", { value: 3 }, { part: "C2" }),
    ];
    expect(short(...things).map(([id]) => id)).toStrictEqual(["n1", "n2", "n3", "n4", "n5", "n6"]);
    expect(short(...things, line("direct", { value: 4 }, { part: "C1" }))).toContainEqual([
      "n7",
      { value: 4 },
    ]);
  });

  it("are none of notes of another kind", () => {
    const fault = { ...line("rail", { plus: 15 }), kind: "fault" } as unknown as MeterLine;
    expect(short(fault)).toStrictEqual([]);
    expect(short(fault, line("rail", { plus: 15 })).map(([id]) => id)).toStrictEqual(["n2"]);
  });

  it("are judged beside those of other strips, as these are by now", () => {
    // 48 V ± 4 V (IEC 61938, from memory)
    const pins = (volts: number, strip: string) => ({
      ...line("phantom", {}, { strip }),
      values: ["pin 2", "pin 3"].map((at) => ({ at, value: volts, unit: "V", nominal: 48 })),
    });
    const points = (...lines: readonly MeterLine[]) =>
      list(...lines).map(({ verdict }) => verdict.pointsTo);
    const [six, seven] = [pins(40, "6"), pins(40, "7")] as unknown as MeterLine[];
    expect(points(six)).toStrictEqual([[{ code: "phantom-switch" }]]);
    expect(points(six, seven)).toStrictEqual([
      [{ code: "phantom-shared", strips: ["7"] }],
      [{ code: "phantom-shared", strips: ["6"] }],
    ]);
    const mended = pins(48, "7") as unknown as MeterLine;
    expect(points(six, seven, mended)).toStrictEqual([[{ code: "phantom-switch" }], []]);
  });

  it("merged are the last one's, with the points of all", () => {
    const [first, last] = [
      line("rail", { plus: 15, minus: -15 }, { text: "warm" }),
      line("rail", { minus: -12 }, { text: "cold" }),
    ];
    expect(mergeReadings([first, last])).toStrictEqual({
      ...last,
      values: [first.values[0], last.values[0]],
    });
    expect(mergeReadings([first])).toStrictEqual(first);
  });
});

describe("the findings for a path", () => {
  const finding = (value: number, more: Partial<MeterFinding> = {}): MeterFinding => ({
    strip: "6",
    kind: "rail",
    value,
    nominal: 15,
    ...more,
  });
  const given = (at: { strip?: string; input?: string }, ...findings: readonly MeterFinding[]) => ({
    line: line("rail", {}, at),
    verdict: { findings } as never,
  });
  const values = (path: { strip: string; input: string }, ...meters: ReturnType<typeof given>[]) =>
    listFindingsFor(path, meters).map(({ value }) => value);

  it("are those of its input and of its strip as a whole", () => {
    const all = [
      given({}, finding(1), finding(2)),
      given({ input: "mic" }, finding(3)),
      given({ input: "line" }, finding(4)),
      given({ strip: "7" }, finding(5)),
      given({ strip: "7", input: "mic" }, finding(6)),
    ];
    expect(values({ strip: "6", input: "mic" }, ...all)).toStrictEqual([1, 2, 3]);
    expect(values({ strip: "6", input: "line" }, ...all)).toStrictEqual([1, 2, 4]);
    expect(values({ strip: "7", input: "line" }, ...all)).toStrictEqual([5]);
    expect(values({ strip: "8", input: "mic" }, ...all)).toStrictEqual([]);
  });

  it("have a strip's phantom supply at its mic inputs only, unless it was noted for another", () => {
    const whole = given({}, finding(1, { kind: "phantom" }), finding(2));
    expect(values({ strip: "6", input: "mic" }, whole)).toStrictEqual([1, 2]);
    expect(values({ strip: "6", input: "Mic B" }, whole)).toStrictEqual([1, 2]);
    expect(values({ strip: "6", input: "line" }, whole)).toStrictEqual([2]);
    const own = given({ input: "DI" }, finding(3, { kind: "phantom", input: "DI" }));
    expect(values({ strip: "6", input: "DI" }, own)).toStrictEqual([3]);
  });
});
