import { describe, expect, it } from "vitest";
import {
  findFeeds,
  isOfWholeDesk,
  listDangersAt,
  listNoteDangers,
  listOpenDangers,
} from "../../../src/service/notebook/open-dangers.js";
import type { Entry } from "../../../src/service/notebook/types.js";

// What a danger keeps off: common practice, no source. A shock keeps the desk off, a hot part its strip.

const entry = (id: string, text: string, more: object = {}, closed = false): Entry =>
  ({
    id,
    at: 1,
    corrections: [],
    line: { note: 1, id, date: "2031-03-14T12:00:00Z", kind: "fault", text, ...more },
    ...(closed ? { closed: {} } : {}),
  }) as never;
const sections = [
  { name: "PSU A", kind: "supply", feeds: ["1", "2", "group 1"] },
  { name: "PSU B", kind: "supply", feeds: ["2"] },
  { name: "group 1", kind: "group" },
] as const;

describe("what feeds a place", () => {
  it.each([
    [{ strip: "1" }, { supplies: ["PSU A"] }],
    [{ strip: "2", input: "mic" }, { supplies: ["PSU A", "PSU B"] }],
    [{ strip: "3" }, {}],
    [{ section: "group 1" }, { supplies: ["PSU A"] }],
    [{ section: "PSU B" }, { feeds: ["2"] }],
    [{}, {}],
  ] as const)("%j is %j", (place, feeds) => {
    expect(findFeeds(place, sections)).toStrictEqual(feeds);
  });
});

describe("open dangers", () => {
  it("are those of faults and readings, with their place, day and words on one line", () => {
    const entries = [
      entry("n1", "hum", { strip: "1" }),
      entry("n2", " smell  of\nburning ", { strip: "1", input: "mic" }),
      entry("n3", "smell of burning", { strip: "2" }, true),
      entry("n4", "smell of burning", { strip: "3", kind: "repair" }),
      entry("n5", "smell of burning", { kind: "meter", strip: "3" }),
      entry("n6", "smell of burning"),
    ];
    const danger = { date: "2031-03-14", words: "smell of burning", dangers: ["burning"] };
    expect(listOpenDangers(entries, sections)).toStrictEqual([
      { note: "n2", strip: "1", input: "mic", supplies: ["PSU A"], ...danger },
      { note: "n5", strip: "3", ...danger },
      { note: "n6", ...danger },
    ]);
    expect(listOpenDangers(entries)[0]).not.toHaveProperty("supplies");
    expect(listNoteDangers(entries[3])).toStrictEqual([]);
  });

  it("keep their strip off, or all of the desk", () => {
    const hot = { note: "n1", strip: "4", date: "", words: "", dangers: ["heat"] } as const;
    const shock = { ...hot, note: "n2", dangers: ["shock"] } as const;
    const { strip: _, ...section } = { ...hot, note: "n3", section: "group 1" };
    expect([hot, shock, section].map(isOfWholeDesk)).toStrictEqual([false, true, true]);
    expect(isOfWholeDesk({ ...hot, dangers: ["heat", "shock"] })).toBe(true);
    const at = (place: string | undefined, ...dangers: readonly (typeof hot)[]) =>
      listDangersAt(place, dangers).map(({ note }) => note);
    expect([at("4", hot), at("5", hot), at(undefined, hot)]).toStrictEqual([["n1"], [], []]);
    const both = [hot, shock as never];
    expect([at("4", ...both), at("5", ...both)]).toStrictEqual([["n1", "n2"], ["n2"]]);
  });
});
