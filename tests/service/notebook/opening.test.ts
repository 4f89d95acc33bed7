import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findOpening, listStillOff } from "../../../src/service/notebook/opening.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";

/** What somebody does while the desk is open. */
type Act =
  | { readonly do: "off" | "unplugged"; readonly strip: string; readonly screws: number }
  | { readonly do: "back" | "withdraw"; readonly which: number }
  | { readonly do: "count"; readonly which: number; readonly found: number }
  | { readonly do: "cut"; readonly at: number }
  | { readonly do: "start" | "end" };

const act: fc.Arbitrary<Act> = fc.oneof(
  fc.record({
    do: fc.constantFrom("off" as const, "unplugged" as const),
    strip: fc.constantFrom("1", "2", "7"),
    screws: fc.integer({ min: 0, max: 3 }),
  }),
  fc.record({
    do: fc.constantFrom("back" as const, "withdraw" as const),
    which: fc.nat(30),
  }),
  fc.record({ do: fc.constant("count" as const), which: fc.nat(30), found: fc.nat(4) }),
  fc.record({ do: fc.constant("cut" as const), at: fc.nat(40) }),
  fc.record({ do: fc.constantFrom("start" as const, "end" as const) }),
);

/** The book as it is written, and by hand what is still off. */
function write(acts: readonly Act[]) {
  const lines: string[] = [];
  const off: { id: string; screws: number; back: boolean; gone: boolean; found?: number }[] = [];
  let number = 0;
  const add = (line: object) => {
    number++;
    lines.push(
      JSON.stringify({
        note: 1,
        id: `n${number}`,
        date: "2031-03-14T12:00:00Z",
        text: "",
        ...line,
      }),
    );
    return `n${number}`;
  };
  for (const one of acts) {
    const target = "which" in one ? off[one.which % Math.max(1, off.length)] : undefined;
    if (one.do === "off" || one.do === "unplugged") {
      const fixings = one.screws > 0 ? { fixings: [{ what: "M3", count: one.screws }] } : {};
      const how = one.do === "unplugged" ? { how: "unplugged" } : {};
      const id = add({
        kind: "off",
        strip: one.strip,
        what: `thing ${number}`,
        ...how,
        ...fixings,
      });
      off.push({ id, screws: one.screws, back: false, gone: false });
    } else if (one.do === "start" || one.do === "end") add({ kind: "opening", event: one.do });
    // A program that was killed while it wrote leaves the beginning of a line.
    else if (one.do === "cut") lines.push(`{"note":1,"id":"n${number + 1}"`.slice(0, one.at + 1));
    else if (target !== undefined && one.do === "back") {
      add({ kind: "close", closes: target.id, figures: [] });
      target.back = true;
    } else if (target !== undefined && one.do === "withdraw") {
      add({ kind: "correct", corrects: target.id, withdrawn: true });
      target.gone = true;
    } else if (target !== undefined && one.do === "count") {
      add({ kind: "count", counts: target.id, found: [{ what: "M3", count: one.found }] });
      target.found = one.found;
    }
  }
  const wanted = off
    .filter(
      ({ gone, back, screws, found }) => !gone && (!back || (screws > 0 && (found ?? -1) < screws)),
    )
    .map(({ id }) => id);
  return { text: lines.join("\n"), wanted };
}

describe("an opening", () => {
  it("asks for everything that was taken off and is not back, whatever else happened", () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 40 }), (acts) => {
        const { text, wanted } = write(acts);
        const notebook = parseNotebook(Buffer.from(text), "notebook.jsonl");
        expect(listStillOff(notebook).map(({ note }) => note)).toStrictEqual(wanted);
        expect(findOpening(notebook)?.still.map(({ note }) => note) ?? []).toStrictEqual(wanted);
      }),
      { numRuns: 500 },
    );
  });
});

describe("an opening, as data", () => {
  const bookOf = (...lines: readonly object[]) =>
    parseNotebook(
      Buffer.from(
        lines
          .map((line, k) =>
            JSON.stringify({
              note: 1,
              id: `n${k + 1}`,
              date: `2031-03-${10 + k}T12:00:00Z`,
              text: "",
              ...line,
            }),
          )
          .join("\n"),
      ),
      "notebook.jsonl",
    );
  const start = { kind: "opening", event: "start" };
  const end = { kind: "opening", event: "end" };
  const off = (what: string, more: object = {}) => ({ kind: "off", strip: "7", what, ...more });
  const back = (closes: string) => ({ kind: "close", closes, figures: [] });
  const count = (counts: string, found: readonly object[]) => ({ kind: "count", counts, found });
  const screws = {
    fixings: [
      { what: "M3", count: 4 },
      { what: "M4", count: 2 },
    ],
  };
  const one = (note: string, what: string, more: object = {}) => ({
    note,
    place: "7",
    what,
    ...more,
  });

  it("is none while the desk is closed and nothing is off", () => {
    expect(findOpening(bookOf())).toBeUndefined();
    expect(findOpening(bookOf(start, off("lid"), back("n2"), end))).toBeUndefined();
  });

  it("has what is still off, and what is back since it began", () => {
    expect(
      findOpening(
        bookOf(
          off("old"),
          back("n1"),
          start,
          off("lid"),
          off("lead", { how: "unplugged" }),
          off("cap"),
          back("n6"),
        ),
      ),
    ).toStrictEqual({
      id: "n3",
      since: "2031-03-12",
      still: [one("n4", "lid", { state: "off" }), one("n5", "lead", { state: "unplugged" })],
      back: [one("n6", "cap")],
    });
    expect(findOpening(bookOf(start))).toStrictEqual({
      id: "n1",
      since: "2031-03-10",
      still: [],
      back: [],
    });
    // The last turn counts.
    expect(findOpening(bookOf(start, end, start))?.id).toBe("n3");
  });

  it("without a beginning is as old as the first thing that is off", () => {
    expect(
      findOpening(bookOf(off("old"), back("n1"), off("lid"), off("cap"), back("n4"))),
    ).toStrictEqual({
      since: "2031-03-12",
      still: [one("n3", "lid", { state: "off" })],
      back: [one("n4", "cap")],
    });
    expect(findOpening(bookOf(start, off("lid"), end))).toMatchObject({ since: "2031-03-11" });
    expect(findOpening(bookOf(start, off("lid"), end))).not.toHaveProperty("id");
  });

  it("is told apart from all else that stands in a notebook, and begins with the first that is off", () => {
    const hum = { kind: "fault", strip: "7", text: "hum" };
    expect(listStillOff(bookOf(hum, off("lid")))).toStrictEqual([
      one("n2", "lid", { state: "off" }),
    ]);
    const stock = { kind: "stock", event: "in", count: 1, part: "fuse" };
    expect(findOpening(bookOf(start, stock, off("lid")))).toMatchObject({ id: "n1" });
    expect(findOpening(bookOf(hum, stock))).toBeUndefined();
    // The cap came off and back after the lid, and before the lead.
    expect(findOpening(bookOf(off("lid"), off("cap"), back("n2"), off("lead")))).toMatchObject({
      since: "2031-03-10",
      back: [one("n2", "cap")],
    });
  });

  it("waits for every fixing of what is back", () => {
    const still = (...more: readonly object[]) =>
      listStillOff(bookOf(off("lid", screws), back("n1"), ...more));
    const lacks = (what: string, wanted: number, found?: number) =>
      one("n1", "lid", {
        state: "fixings",
        fixing: { what, count: wanted, ...(found === undefined ? {} : { found }) },
      });
    expect(still()).toStrictEqual([lacks("M3", 4), lacks("M4", 2)]);
    expect(still(count("n1", [{ what: "M3", count: 4 }]))).toStrictEqual([lacks("M4", 2)]);
    expect(
      still(
        count("n1", [
          { what: "M3", count: 3 },
          { what: "M4", count: 3 },
        ]),
      ),
    ).toStrictEqual([lacks("M3", 4, 3)]);
    expect(
      still(
        count("n1", [
          { what: "M3", count: 0 },
          { what: "M4", count: 2 },
        ]),
      ),
    ).toStrictEqual([lacks("M3", 4, 0)]);
  });
});
