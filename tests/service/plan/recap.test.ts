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
    expect(found.parts.map(({ what, count }) => [what, count])).toStrictEqual([
      ["22 µF 35 V", 8 * 6 + 4],
      ["100 µF 63 V", 16],
    ]);
    const strip = found.days.flatMap(({ strips }) => strips).find((one) => one.strip === "3");
    // 20 years of 365.25 days of 10 h; 10 min of board, 9 × 4 min, 1 input
    expect(strip).toMatchObject({ capacitors: 9, hours: 73_050, minutes: 10 + 36 + 1 });
    expect(strip?.groups).toHaveLength(3);
  });

  it("does the oldest first, where no round says more", () => {
    expect(order(plan())).toStrictEqual(["3", "4", "5", "6", "7", "8", "1", "2"]);
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
    expect(drift(corner("2", 16), corner)).toStrictEqual({ path: "2/mic", cornerRatio: 4 });
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
    expect(found.days[0].strips[0].drift).toStrictEqual({ path: "2/mic", cornerRatio: 4 });
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
    expect(text.split("\n").filter((line) => [...line].length > 80)).toStrictEqual([]);
    for (const render of [renderRecapHtml, renderRecapMarkdown]) {
      const other = render(found);
      for (const words of [
        "Before undoing a screw",
        "Never lift a protective earth",
        "write down where each power and earth lead goes",
        "fit each capacitor the right way round",
        "OFF, mains plug pulled",
        "22 µF 35 V",
      ])
        expect(other).toContain(words);
    }
  });
});

describe("a recapping by hand", () => {
  // 6 × 22 µF and 2 × 100 µF on each of eight strips, one 22 µF more on strips 1 to 4; 4 minutes each,
  // 10 for the mic board, 1 for the input: 36 + 10 + 1 = 47 for strips 1 to 4, 32 + 11 = 43 for 5 to 8.
  const alone = (strips: readonly string[], more: object = {}) => plan({ strips, ...more });
  const first = (found: ReturnType<typeof plan>) => found.days[0].strips[0];

  it("is whole, with every key and no other", () => {
    expect(alone(["7"])).toStrictEqual({
      format: "deskround-recap",
      version: 1,
      desk: "The Quillmere desk",
      date: "2031-06-01",
      round: null,
      hoursADay: 4,
      days: [
        {
          strips: [
            {
              strip: "7",
              groups: [
                { board: "mic board", what: "22 µF 35 V", count: 6 },
                { board: "mic board", what: "100 µF 63 V", count: 2 },
              ],
              capacitors: 8,
              life: { strip: "7", since: 2011, years: 12, due: 2023 },
              hours: 20 * 365.25 * 10,
              minutes: 43,
            },
          ],
          minutes: 60 + 43,
        },
      ],
      parts: [
        { what: "22 µF 35 V", count: 6, reserved: 0, missing: 6, matches: [] },
        { what: "100 µF 63 V", count: 2, reserved: 0, missing: 2, matches: [] },
      ],
      minutes: 103,
      unpriced: ["22 µF 35 V", "100 µF 63 V"],
    });
    expect(plan({ round: round([], "2031-05-01-01") }).round).toBe("2031-05-01-01");
  });

  it("counts hours from the last recapping, and none of a year to come", () => {
    // Strip 1: recapped in 2021. 10 years of 365.25 days of 10 h.
    expect(first(alone(["1"])).hours).toBe(36_525);
    expect(first(alone(["7"], { date: "2011-12-31" })).hours).toBe(0);
    expect(first(alone(["7"], { date: "2009-01-01" })).hours).toBe(0);
    const { age: _, ...ageless } = desk;
    const unknown = first(alone(["7"], { desk: ageless }));
    expect(unknown).not.toHaveProperty("hours");
    expect(unknown).not.toHaveProperty("life");
    // An age that says nothing of the year
    const since = first(
      alone(["7"], { desk: { ...desk, age: { ...desk.age, installed: undefined } } }),
    );
    expect([since.life, since.hours]).toStrictEqual([undefined, undefined]);
  });

  it("does what comes off before a board too, and the usual minutes where the book has none", () => {
    const of = (boards: string, strip = "7") =>
      first(alone([strip], { book: parseStripDown(`boards:\n${boards}`, "strip-down.yaml", desk) }))
        .minutes;
    const hood = "  hood: { minutes: 7, steps: lift }\n";
    const board = "{ minutes: 10, capacitors: 2x 22 µF 35 V";
    expect(of(`${hood}  b: ${board}, after: hood }\n`)).toBe(7 + 10 + 2 * 4 + 1);
    expect(of(`${hood}  b: ${board} }\n`)).toBe(10 + 2 * 4 + 1);
    // 20 of the desk file for a strip
    expect(of("  b: { capacitors: 2x 22 µF 35 V }\n")).toBe(20 + 2 * 4 + 1);
    // A part of a minute is a minute.
    expect(of("  b: { minutes: 2.5, capacitors: 2x 22 µF 35 V }\n")).toBe(12);
  });

  it("leaves out a strip that has no capacitors in the book", () => {
    const some = parseStripDown(
      "boards:\n  b: { strips: 1-2, capacitors: 3x 22 µF 35 V }\n",
      "strip-down.yaml",
      desk,
    );
    expect(order(plan({ book: some }))).toStrictEqual(["1", "2"]);
    const none = alone(["7"], { book: some });
    expect(none).toMatchObject({ days: [], parts: [], minutes: 0, unpriced: [] });
  });

  it("fills a day to the minute", () => {
    const days = (hoursADay: number) =>
      plan({ strips: ["5", "6", "7", "8"], hoursADay }).days.map(({ strips, minutes }) => [
        strips.length,
        minutes,
      ]);
    // 60 to open, 43 each
    expect(days((60 + 2 * 43) / 60)).toStrictEqual([
      [2, 146],
      [2, 146],
    ]);
    expect(days((60 + 2 * 43 - 1) / 60)).toStrictEqual([1, 1, 1, 1].map((count) => [count, 103]));
    expect(days(8)).toStrictEqual([[4, 60 + 4 * 43]]);
    expect(plan({ strips: ["5", "6"], hoursADay: 0.5 }).minutes).toBe(2 * 103);
  });

  it("takes what is in stock, and counts the cost of what is not, to the cent", () => {
    const bag = (value: number, volts: number, count: number, price?: number) => ({
      kind: "stock",
      event: "in",
      part: "electrolytic",
      value,
      unit: "F",
      volts,
      count,
      ...(price === undefined ? {} : { price }),
    });
    const with_ = (...lines: readonly object[]) => alone(["7"], { notebook: notes(...lines) });
    expect(with_(bag(22e-6, 35, 4, 0.333), bag(1e-4, 63, 0, 0.111))).toMatchObject({
      cost: 0.89,
      unpriced: [],
    });
    expect(with_(bag(22e-6, 35, 6))).toMatchObject({ unpriced: ["100 µF 63 V"] });
    expect(with_(bag(22e-6, 35, 6))).not.toHaveProperty("cost");
    // Enough of everything costs nothing.
    expect(with_(bag(22e-6, 35, 6, 0.5), bag(1e-4, 63, 2)).cost).toBe(0);
  });
});

describe("what a round shows of capacitors", () => {
  const low = (strip: string, db: number, more: object = {}) =>
    path({
      path: `${strip}/mic`,
      curves: {
        response: { x: [30, 1000], y: [db, 0], uncertainty: [0, 0], xUnit: "Hz", yUnit: "dB" },
      },
      ...more,
    });
  const driftOf = (strip: string, ...paths: readonly ReturnType<typeof path>[]) =>
    plan({ round: round(paths) })
      .days.flatMap(({ strips }) => strips)
      .find((one) => one.strip === strip)?.drift;
  const others = ["3", "4", "5"].map((strip) => corner(strip, 4));

  it("is told against three siblings at least, of its own family and measured", () => {
    expect(driftOf("2", corner("2", 16), ...others)).toStrictEqual({
      path: "2/mic",
      cornerRatio: 4,
    });
    expect(driftOf("2", corner("2", 16), ...others.slice(1))).toBeUndefined();
    const [first, ...rest] = others;
    expect(driftOf("2", corner("2", 16), { ...first, family: "line" }, ...rest)).toBeUndefined();
    expect(driftOf("2", corner("2", 16), { ...first, status: "missing" }, ...rest)).toBeUndefined();
    expect(driftOf("2", { ...corner("2", 16), status: "missing" }, ...others)).toBeUndefined();
    // Another input of the same strip is no sibling.
    const own = { ...corner("2", 16), path: "2/line", input: "line" };
    expect(driftOf("2", corner("2", 16), own, ...rest)).toBeUndefined();
  });

  it("is to a hundredth, and against the middle of the siblings", () => {
    // 16 / 3 = 5.333; the middle of 2, 3 and 9 is 3
    const unlike = [2, 3, 9].map((value, k) => corner(String(k + 3), value));
    expect(driftOf("2", corner("2", 16), ...unlike)).toStrictEqual({
      path: "2/mic",
      cornerRatio: 5.33,
    });
    const sunk = [0, -1, -2].map((db, k) => low(String(k + 3), db));
    expect(driftOf("2", low("2", -3.456), ...sunk)).toStrictEqual({ path: "2/mic", lowDb: -2.46 });
    // A corner of nothing gives no ratio.
    const zero = ["3", "4", "5"].map((strip) => ({
      ...low(strip, 0),
      readings: corner(strip, 0).readings,
    }));
    const both = { ...low("2", -3), readings: corner("2", 16).readings };
    expect(driftOf("2", both, ...zero)).toStrictEqual({ path: "2/mic", lowDb: -3 });
  });

  it("is that of the input that is worse, by decibels lost or octaves", () => {
    const line = (strip: string, db: number) =>
      low(strip, db, { path: `${strip}/line`, input: "line", family: "line" });
    const siblings = ["3", "4", "5"].flatMap((strip) => [
      { ...low(strip, 0), readings: corner(strip, 4).readings },
      line(strip, 0),
    ]);
    expect(driftOf("2", low("2", -2), line("2", -3), ...siblings)?.path).toBe("2/line");
    expect(driftOf("2", low("2", -3), line("2", -2), ...siblings)?.path).toBe("2/mic");
    // Two octaves weigh as two decibels: 16 Hz against 4 Hz.
    expect(driftOf("2", corner("2", 16), line("2", -1.9), ...siblings)?.path).toBe("2/mic");
    expect(driftOf("2", corner("2", 16), line("2", -2.1), ...siblings)?.path).toBe("2/line");
  });

  it("puts the worst strip first, and those of no concern by their age", () => {
    const siblings = ["3", "4", "5", "6", "7"].map((strip) => corner(strip, 4));
    const made = round([corner("1", 8), corner("2", 32), ...siblings]);
    expect(order(plan({ round: made })).slice(0, 2)).toStrictEqual(["2", "1"]);
    // Half an octave is 4 × √2 = 5.657 Hz: 1.41 is just below it, 1.42 above.
    const at = (ratio: number) =>
      order(plan({ round: round([corner("1", 4 * ratio), ...siblings]) }))[0];
    expect([at(1.41), at(1.42)]).toStrictEqual(["3", "1"]);
    // A corner that went down is no drying.
    expect(at(0.25)).toBe("3");
  });
});
