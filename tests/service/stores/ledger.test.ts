import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { buildStores, reserveParts } from "../../../src/service/stores/ledger.js";
import { isFit, parsePartSpec } from "../../../src/service/stores/part-spec.js";

const book = (...lines: readonly object[]) =>
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
const electrolytic = { part: "electrolytic", value: 1e-5, unit: "F", volts: 63 };
const stock = (event: string, count: number, more: object = electrolytic) => ({
  kind: "stock",
  event,
  count,
  ...more,
});
const repair = (what: string, count: number) => ({
  kind: "repair",
  strip: "5",
  parts: [{ what, count }],
});

describe("parsePartSpec", () => {
  // Letter and digit codes of IEC 60062 (from memory).
  it.each([
    ["electrolytic 10 µF 63 V", { kind: "electrolytic", value: 1e-5, unit: "F", volts: 63 }],
    ["10uF 63V", { kind: "", value: 1e-5, unit: "F", volts: 63 }],
    ["4u7 35 V electrolytics", { kind: "electrolytic", value: 4.7e-6, unit: "F", volts: 35 }],
    ["film 0,47 µ", { kind: "film", value: 4.7e-7, unit: "F" }],
    ["coupling capacitor 10 µF", { kind: "electrolytic", value: 1e-5, unit: "F" }],
    ["resistors 6k8", { kind: "resistor", value: 6800, unit: "Ω" }],
    ["6.8 kΩ", { kind: "", value: 6800, unit: "Ω" }],
    ["resistor 4R7", { kind: "resistor", value: 4.7, unit: "Ω" }],
    ["680 ohm", { kind: "", value: 680, unit: "Ω" }],
    ["Op amps, dual", { kind: "op amp dual" }],
    ["contact cleaner", { kind: "contact cleaner" }],
    ["fuse 500 mA", { kind: "fuse 500 ma" }],
  ])("%s", (text, spec) => {
    expect(parsePartSpec(text)).toEqual(spec);
  });

  it("lets more volts do, and never fewer", () => {
    const fits = (wanted: string, part: string) =>
      isFit(parsePartSpec(wanted), parsePartSpec(part));
    expect(fits("10 µF 35 V", "electrolytic 10 µF 63 V")).toBe(true);
    expect(fits("10 µF 63 V", "electrolytic 10 µF 35 V")).toBe(false);
    expect(fits("10 µF 63 V", "electrolytic 10 µF")).toBe(false);
    expect(fits("film 10 µF", "electrolytic 10 µF 63 V")).toBe(false);
    expect(fits("10 µF", "resistor 10 Ω")).toBe(false);
    expect(fits("op amp", "op amp dual")).toBe(false);
    expect(fits("op amp", "op amps")).toBe(true);
  });
});

describe("the stores", () => {
  it("hold what was put in and not taken", () => {
    const { items, uses } = buildStores(
      book(
        stock("in", 20, { ...electrolytic, price: 0.12, from: "the shop round the corner" }),
        repair("10 µF 50 V", 4),
        stock("out", 1),
      ),
    );
    expect(items).toEqual([
      {
        kind: "electrolytic",
        value: 1e-5,
        unit: "F",
        volts: 63,
        count: 15,
        price: 0.12,
        from: "the shop round the corner",
      },
    ]);
    expect(uses).toEqual([{ note: "n2", what: "10 µF 50 V", wanted: 4, taken: 4, left: 16 }]);
  });

  it("give back what a repair took that was withdrawn", () => {
    const lines = [stock("in", 5), repair("10 µF 63 V", 3)];
    expect(buildStores(book(...lines)).items[0].count).toBe(2);
    const undone = { kind: "correct", corrects: "n2", withdrawn: true };
    expect(buildStores(book(...lines, undone)).items[0].count).toBe(5);
  });

  it("take the lowest voltage that is enough", () => {
    const { items } = buildStores(
      book(
        stock("in", 5, { ...electrolytic, volts: 100 }),
        stock("in", 5),
        repair("10 µF 63 V", 6),
      ),
    );
    expect(items.map(({ volts, count }) => [volts, count])).toEqual([
      [100, 4],
      [63, 0],
    ]);
  });

  const move = fc.oneof(
    fc.record({
      kind: fc.constant("stock"),
      event: fc.constantFrom("in", "out", "set"),
      count: fc.nat(9),
      part: fc.constantFrom("electrolytic", "film"),
      value: fc.constantFrom(1e-5, 4.7e-6),
      unit: fc.constant("F"),
      volts: fc.constantFrom(35, 63),
    }),
    fc
      .record({
        what: fc.constantFrom("10 µF", "10 µF 63 V", "film 4.7 µF", "4u7 35 V", "knob"),
        count: fc.integer({ min: 1, max: 9 }),
      })
      .map(({ what, count }) => repair(what, count)),
    fc.record({
      kind: fc.constant("correct"),
      corrects: fc.nat(20).map((k) => `n${k + 1}`),
      withdrawn: fc.constant(true),
    }),
  );

  it("are never below nothing, and lose none", () => {
    fc.assert(
      fc.property(fc.array(move, { maxLength: 40 }), (moves) => {
        const { items, uses } = buildStores(book(...moves));
        for (const { count } of items) expect(count).toBeGreaterThanOrEqual(0);
        for (const { taken, wanted } of uses) {
          expect(taken).toBeGreaterThanOrEqual(0);
          expect(taken).toBeLessThanOrEqual(wanted);
        }
        const putIn = moves.reduce(
          (sum, one) => sum + ("event" in one && one.event !== "out" ? one.count : 0),
          0,
        );
        const left = items.reduce((sum, { count }) => sum + count, 0);
        const used = uses.reduce((sum, { taken }) => sum + taken, 0);
        expect(left + used).toBeLessThanOrEqual(putIn);
      }),
      { numRuns: 500 },
    );
  });

  it("set no part aside twice, and none for what nobody can name", () => {
    const stores = buildStores(book(stock("in", 5)));
    const spec = parsePartSpec("10 µF 35 V");
    expect(reserveParts([{ spec, needed: 3 }, { spec, needed: 3 }, { needed: 2 }], stores)).toEqual(
      [
        { reserved: 3, missing: 0 },
        { reserved: 2, missing: 1 },
        { reserved: 0, missing: 2 },
      ],
    );
    fc.assert(
      fc.property(fc.array(fc.nat(9), { maxLength: 8 }), (needs) => {
        const found = reserveParts(
          needs.map((needed) => ({ spec, needed })),
          stores,
        );
        expect(found.reduce((sum, { reserved }) => sum + reserved, 0)).toBe(
          Math.min(
            5,
            needs.reduce((sum, one) => sum + one, 0),
          ),
        );
        found.forEach(({ reserved, missing }, k) => {
          expect(reserved + missing).toBe(needs[k]);
        });
      }),
    );
  });
});
