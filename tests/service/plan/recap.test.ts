import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { parseStripDown } from "../../../src/desk/strip-down/read-strip-down.js";
import {
  renderRecap,
  renderRecapHtml,
  renderRecapMarkdown,
} from "../../../src/report/plan/recap.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { makeRecapPlan } from "../../../src/service/plan/recap.js";
import { path, round } from "../limits/rounds.js";

const desk = parseDesk(
  `name: The Quillmere desk
mains: 50
strips: 8
inputs: { mic: { nominal: -40 } }
construction: { open: 60, pull: 20 }
age: { installed: 2011, recapped: { 2021: 1-2 }, powered: 10 }
`,
  "desk.yaml",
);
const book = parseStripDown(
  `boards:
  mic board: { minutes: 10, capacitors: [6x 22 µF 35 V, 2x 100 µF 63 V] }
  fader: { strips: 1-4, capacitors: 1x 22 µF 35 V }
`,
  "strip-down.yaml",
  desk,
);
const notes = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({
            note: 1,
            id: `n${k + 1}`,
            date: "2031-03-14T12:00:00Z",
            text: "",
            ...line,
          }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );
const corner = (strip: string, value: number) =>
  path({
    path: `${strip}/mic`,
    readings: { cornerLow: { value, unit: "Hz", uncertainty: 0.1 } } as never,
  });
const plan = (more: object = {}) =>
  makeRecapPlan({
    desk,
    book,
    notebook: notes(),
    round: undefined,
    hoursADay: 4,
    date: "2031-06-01",
    ...more,
  });
const order = (found: ReturnType<typeof plan>) =>
  found.days.flatMap(({ strips }) => strips.map(({ strip }) => strip));

describe("makeRecapPlan", () => {
  it("counts capacitors by board and value, hours and minutes", () => {
    const found = plan();
    expect(found.parts.map(({ what, count }) => [what, count])).toEqual([
      ["22 µF 35 V", 8 * 6 + 4],
      ["100 µF 63 V", 16],
    ]);
    const strip = found.days.flatMap(({ strips }) => strips).find((one) => one.strip === "3");
    // 20 years of 365.25 days of 10 h; 10 min of board, 9 × 4 min, 1 input
    expect(strip).toMatchObject({ capacitors: 9, hours: 73_050, minutes: 10 + 36 + 1 });
    expect(strip?.groups).toHaveLength(3);
  });

  it("does the oldest first, where no round says more", () => {
    expect(order(plan())).toEqual(["3", "4", "5", "6", "7", "8", "1", "2"]);
    const recapped = notes({ kind: "repair", strip: "3", parts: [], recapped: true });
    expect(order(plan({ notebook: recapped })).at(-1)).toBe("3");
  });

  it("counts no corner that is only a bound, the strip's own or its siblings'", () => {
    const bound = (strip: string, value: number) => {
      const { readings, ...one } = corner(strip, value);
      return {
        ...one,
        readings: { cornerLow: { ...readings.cornerLow, bound: "upper" } } as never,
      };
    };
    const drift = (own: ReturnType<typeof path>, others: typeof corner) => {
      const made = round(["1", "3", "4", "5"].map((strip) => others(strip, 4)).concat(own));
      return plan({ round: made })
        .days.flatMap(({ strips }) => strips)
        .find(({ strip }) => strip === "2")?.drift;
    };
    expect(drift(corner("2", 16), corner)).toEqual({ path: "2/mic", cornerRatio: 4 });
    expect(drift(bound("2", 16), corner)).toBeUndefined();
    expect(drift(corner("2", 16), bound)).toBeUndefined();
  });

  it("does first whose low end has gone furthest from its siblings'", () => {
    const made = round(
      ["1", "2", "3", "4", "5"].map((strip) => corner(strip, strip === "2" ? 16 : 4)),
    );
    const found = plan({ round: made });
    expect(order(found)[0]).toBe("2");
    // an octave is a factor of two: 16 Hz against 4 Hz
    expect(found.days[0].strips[0].drift).toEqual({ path: "2/mic", cornerRatio: 4 });
    // What was recapped since the round, the round says nothing about.
    const since = notes({
      kind: "repair",
      strip: "2",
      parts: [],
      recapped: true,
      date: "2039-01-01T12:00:00Z",
    });
    expect(order(plan({ round: made, notebook: since }))[0]).not.toBe("2");
  });

  it("does not move a strip up for less than half a decibel at 30 Hz", () => {
    const low = (strip: string, db: number) =>
      path({
        path: `${strip}/mic`,
        curves: {
          response: { x: [30, 1000], y: [db, 0], uncertainty: [0, 0], xUnit: "Hz", yUnit: "dB" },
        },
      });
    const first = (db: number) => {
      const made = round(
        ["1", "2", "3", "4", "5"].map((strip) => low(strip, strip === "2" ? db : 0)),
      );
      const found = plan({ round: made });
      return [order(found)[0], found.days.flatMap(({ strips }) => strips)];
    };
    // Strip 2 was recapped last, and would come last by its age.
    expect(first(-0.5)[0]).toBe("2");
    expect(first(-0.49)[0]).toBe("3");
    // More bass than its siblings is no drying.
    expect(first(3)[0]).toBe("3");
    expect(first(-3)[1]).toContainEqual(
      expect.objectContaining({ strip: "2", drift: { path: "2/mic", lowDb: -3 } }),
    );
  });

  it("puts no more into a day than it holds", () => {
    const found = plan({ hoursADay: 4 });
    for (const { minutes, strips } of found.days) {
      expect(minutes).toBe(60 + strips.reduce((sum, one) => sum + one.minutes, 0));
      expect(minutes <= 240 || strips.length === 1).toBe(true);
    }
    expect(plan({ hoursADay: 1 }).days).toHaveLength(8);
  });

  it("sets parts aside and counts the cost of the rest", () => {
    const stock = {
      kind: "stock",
      event: "in",
      part: "electrolytic",
      value: 1e-4,
      unit: "F",
      volts: 63,
      count: 10,
      price: 0.5,
    };
    const found = plan({ notebook: notes(stock) });
    expect(found.parts[1]).toMatchObject({ reserved: 10, missing: 6, price: 0.5 });
    expect(found).toMatchObject({ cost: 3, unpriced: ["22 µF 35 V"] });
    const text = renderRecap(found, { colour: "none", width: 80 });
    expect(text).toContain("no price is known for 22 µF 35 V");
    expect(text.split("\n").filter((line) => [...line].length > 80)).toEqual([]);
    for (const render of [renderRecapHtml, renderRecapMarkdown]) {
      const other = render(found);
      for (const words of ["fit each the right way round", "OFF, mains plug pulled", "22 µF 35 V"])
        expect(other).toContain(words);
    }
  });
});
