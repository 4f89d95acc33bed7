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
        expect(listStillOff(notebook).map(({ note }) => note)).toEqual(wanted);
        expect(findOpening(notebook)?.still.map(({ note }) => note) ?? []).toEqual(wanted);
      }),
      { numRuns: 500 },
    );
  });
});
