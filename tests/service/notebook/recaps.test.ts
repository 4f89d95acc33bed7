import { describe, expect, it } from "vitest";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { listRecaps, mergeRecaps, saysRecapped } from "../../../src/service/notebook/recaps.js";
import { estimateCapacitorLife } from "../../../src/service/plan/ageing.js";

const book = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({
            note: 1,
            id: `n${k + 1}`,
            date: "2031-03-14T12:00:00Z",
            kind: "repair",
            parts: [],
            text: "",
            ...line,
          }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );

describe("a strip that was recapped", () => {
  it.each([
    ["recapped", true],
    ["Re-capped throughout", true],
    ["all electrolytics replaced", true],
    ["not recapped yet", false],
    ["half recapped", false],
    ["recapped except the supply", false],
    ["to be recapped", false],
    ["C4 replaced", false],
    ["cap of the fader replaced", false],
    ["recapped, new op amps, tested fine", true],
    ["full recap done", true],
    ["no recap needed, cleaned the pots", false],
    ["wasn't recapped, only looked at", false],
    ["mic board recapped", false],
    ["ready for a recap", false],
    ["ordered a recap kit", false],
    ["recap planned for spring", false],
    ["started to recap, ran out of parts", false],
    ["recap?", false],
  ])("is known by %j: %s", (text, wanted) => {
    expect(saysRecapped(text)).toBe(wanted);
  });

  it("ages from that day", () => {
    const notebook = book({ strip: "5", recapped: true });
    const age = { installed: 2008, recapped: [], poweredHours: 10, warmerKelvin: 0 };
    const merged = mergeRecaps(age, listRecaps(notebook, ["4", "5"]));
    expect(estimateCapacitorLife("5", merged)?.since).toBe(2031);
    expect(estimateCapacitorLife("4", merged)?.since).toBe(2008);
  });

  it("has an age even where the desk file says nothing about any", () => {
    const merged = mergeRecaps(undefined, listRecaps(book({ recapped: true }), ["4", "5"]));
    expect(estimateCapacitorLife("4", merged)?.since).toBe(2031);
  });

  it("is as old as before once the note is withdrawn, and one input is not a strip", () => {
    const undone = { kind: "correct", corrects: "n1", withdrawn: true };
    expect(listRecaps(book({ strip: "5", recapped: true }, undone), ["5"]).size).toBe(0);
    expect(listRecaps(book({ strip: "5", input: "mic", recapped: true }), ["5"]).size).toBe(0);
  });
});

describe("the day of a recapping", () => {
  const at = (date: string, more: object) => ({
    date: `${date}T12:00:00Z`,
    recapped: true,
    ...more,
  });
  it("is the latest that a note gives, in whatever order they stand", () => {
    const [early, late] = [at("2029-01-02", { strip: "5" }), at("2031-03-14", { strip: "5" })];
    for (const lines of [
      [early, late],
      [late, early],
    ]) {
      expect([...listRecaps(book(...lines), ["4", "5"])]).toStrictEqual([
        ["5", "2031-03-14T12:00:00Z"],
      ]);
    }
    // A note of the desk is of all strips; one of work, a section or a fault is of none.
    expect([...listRecaps(book(at("2030-01-01", {}), early), ["4", "5"])]).toStrictEqual([
      ["4", "2030-01-01T12:00:00Z"],
      ["5", "2030-01-01T12:00:00Z"],
    ]);
    expect(listRecaps(book({ strip: "5" }), ["5"]).size).toBe(0);
    expect(listRecaps(book(at("2030-01-01", { section: "master" })), ["5"]).size).toBe(0);
    expect(listRecaps(book({ kind: "fault", strip: "5", recapped: true }), ["5"]).size).toBe(0);
  });

  it("is added to what the desk file says, and nothing else is changed", () => {
    const age = {
      installed: 2008,
      recapped: [{ year: 2020, strips: ["4"] }],
      poweredHours: 10,
      warmerKelvin: 3,
    };
    expect(mergeRecaps(age, new Map([["5", "2031-03-14T12:00:00Z"]]))).toStrictEqual({
      ...age,
      recapped: [
        { year: 2020, strips: ["4"] },
        { year: 2031, strips: ["5"] },
      ],
    });
    expect(mergeRecaps(age, new Map())).toBe(age);
    expect(mergeRecaps(undefined, new Map())).toBeUndefined();
    expect(mergeRecaps(undefined, new Map([["5", "2031-03-14T12:00:00Z"]]))).toStrictEqual({
      recapped: [{ year: 2031, strips: ["5"] }],
      poweredHours: 8,
      warmerKelvin: 0,
    });
  });
});
