import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { getTolerancePercent, rateFit } from "../../../src/service/stores/fit.js";
import { buildStores, formatSpecKey, reserveParts } from "../../../src/service/stores/ledger.js";
import { parsePartSpec } from "../../../src/service/stores/part-spec.js";

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
  it("takes a name that every object of JavaScript has for what it says", () => {
    expect(parsePartSpec("constructor")).toStrictEqual({ kind: "constructor" });
  });

  // Letter and digit codes of IEC 60062 (from memory).
  it.each([
    ["electrolytic 10 µF 63 V", { kind: "electrolytic", value: 1e-5, unit: "F", volts: 63 }],
    ["10uF 63V", { kind: "", value: 1e-5, unit: "F", volts: 63 }],
    ["4u7 35 V electrolytics", { kind: "electrolytic", value: 4.7e-6, unit: "F", volts: 35 }],
    ["film 0,47 µ", { kind: "film", value: 4.7e-7, unit: "F" }],
    ["coupling capacitor 10 µF", { kind: "electrolytic", value: 1e-5, unit: "F" }],
    ["resistors 6k8", { kind: "resistor", value: 6800, unit: "Ω" }],
    ["res 6k8", { kind: "res", value: 6800, unit: "Ω" }],
    ["6.8 kΩ", { kind: "", value: 6800, unit: "Ω" }],
    ["resistor 4R7", { kind: "resistor", value: 4.7, unit: "Ω" }],
    ["680 ohm", { kind: "", value: 680, unit: "Ω" }],
    ["Op amps, dual", { kind: "op amp dual" }],
    ["contact cleaner", { kind: "contact cleaner" }],
    ["fuse 500 mA", { kind: "fuse 500 ma" }],
    ["47u", { kind: "", value: 4.7e-5, unit: "F" }],
    ["47 µF", { kind: "", value: 4.7e-5, unit: "F" }],
    ["47uF/25VDC electrolytic", { kind: "electrolytic", value: 4.7e-5, unit: "F", volts: 25 }],
    ["25 mfd 50 volts", { kind: "", value: 2.5e-5, unit: "F", volts: 50 }],
    ["resistor 4700", { kind: "resistor", value: 4700, unit: "Ω" }],
    ["4700", { kind: "", value: 4700, unit: "Ω" }],
    ["resistor 4.7k 1%", { kind: "resistor 1%", value: 4700, unit: "Ω" }],
    ["resistor 4k7 0,5% 0,25 W", { kind: "resistor 0.5% 0.25 w", value: 4700, unit: "Ω" }],
    ["fuse, 5 x 20", { kind: "fuse 5 x 20" }],
    ["1/4 W resistor 4k7", { kind: "0.25 w resistor", value: 4700, unit: "Ω" }],
  ])("%s", (text, spec) => {
    expect(parsePartSpec(text)).toStrictEqual(spec);
  });

  it("lets more volts do, and never fewer", () => {
    const fits = (wanted: string, part: string) =>
      rateFit(parsePartSpec(wanted), parsePartSpec(part)) !== undefined;
    expect(fits("10 µF 35 V", "electrolytic 10 µF 63 V")).toBe(true);
    expect(fits("10 µF 63 V", "electrolytic 10 µF 35 V")).toBe(false);
    expect(fits("10 µF 63 V", "electrolytic 10 µF")).toBe(false);
    expect(fits("film 10 µF", "electrolytic 10 µF 63 V")).toBe(false);
    expect(fits("10 µF", "resistor 10 Ω")).toBe(false);
    expect(fits("op amp", "op amp dual")).toBe(false);
    expect(fits("op amp", "op amps")).toBe(true);
  });
});

describe("rateFit", () => {
  const rate = (wanted: string, part: string) =>
    rateFit(parsePartSpec(wanted), parsePartSpec(part));

  // Values of old desks and what is sold today: the nearest of E6 and E12 (IEC 60063).
  it.each([
    ["electrolytic 25 µF 40 V", "electrolytic 22 µF 63 V"],
    ["electrolytic 50 µF 40 V", "electrolytic 47 µF 50 V"],
    ["electrolytic 5 µF 40 V", "electrolytic 4u7 63 V"],
    ["electrolytic 500 µF 35 V", "electrolytic 470 µF 35 V"],
    ["resistor 5k", "resistor 5k1"],
    ["resistor 6.81k", "resistor 6k8"],
    ["film 0.1 µF 100 V", "film 91 nF 250 V"],
  ])("takes, for %s, a part near it: %s", (wanted, part) => {
    expect(rate(wanted, part)).toMatchObject({
      isSame: Math.abs(parsePartSpec(wanted).value! / parsePartSpec(part).value! - 1) < 0.01,
    });
  });

  it.each([
    ["electrolytic 22 µF 25 V", "electrolytic 33 µF 63 V"],
    ["electrolytic 22 µF 25 V", "electrolytic 22 µF 16 V"],
    ["electrolytic 25 µF 40 V", "electrolytic 22 µF 25 V"],
    ["resistor 6k8", "resistor 7k5"],
    ["resistor 6k8 1%", "resistor 6k8"],
    ["resistor 6k8 0.1%", "resistor 6k8 1%"],
    ["resistor 5k 1%", "resistor 5k1 1%"],
    ["resistor 100R 0.5W", "resistor 100R 0.25W"],
    ["bipolar 10 µF 25 V", "electrolytic 10 µF 63 V"],
    ["film x2 100n 275 VAC", "film 100n 400 V"],
    ["film 100n 250 VAC", "film 100n 400 V"],
    ["fuse T1A", "fuse T2A"],
  ])("does not take, for %s, %s", (wanted, part) => {
    expect(rate(wanted, part)).toBeUndefined();
  });

  it("takes what is better than asked for", () => {
    expect(rate("resistor 6k8 1%", "resistor 6k8 0.1% 0.6W metal film")?.isSame).toBe(true);
    expect(rate("capacitor 47u", "low noise electrolytic 47uF 63V")?.isSame).toBe(true);
    expect(rate("dual op amp", "op amp dual")?.isSame).toBe(true);
  });

  it("never takes fewer volts, whatever is written on the bags", () => {
    const volts = fc.constantFrom(6.3, 10, 16, 25, 35, 40, 50, 63, 100);
    const microfarads = fc.constantFrom(1, 2.2, 4.7, 5, 10, 22, 25, 47, 50, 100);
    fc.assert(
      fc.property(volts, microfarads, volts, microfarads, (asked, c, has, d) => {
        const fit = rate(`electrolytic ${c} µF ${asked} V`, `electrolytic ${d}u ${has}V`);
        if (fit === undefined) return;
        expect(has).toBeGreaterThanOrEqual(asked);
        // ± 20 % of an electrolytic, upwards a quarter.
        expect(Math.max(c / d, d / c)).toBeLessThanOrEqual(1.25 + 1e-9);
      }),
    );
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
    expect(items).toStrictEqual([
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
    const spec = { kind: "electrolytic", value: 1e-5, unit: "F", volts: 63 };
    expect(uses).toStrictEqual([
      {
        note: "n2",
        what: "10 µF 50 V",
        wanted: 4,
        taken: 4,
        matches: [{ spec, count: 4 }],
        left: 16,
      },
    ]);
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
    expect(items.map(({ volts, count }) => [volts, count])).toStrictEqual([
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
    const found = reserveParts([{ spec, needed: 3 }, { spec, needed: 3 }, { needed: 2 }], stores);
    expect(found.map(({ reserved, missing }) => [reserved, missing])).toStrictEqual([
      [3, 0],
      [2, 1],
      [0, 2],
    ]);
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

  it("say what they take where only a value near it is there, and do not mix the two", () => {
    const near = { part: "electrolytic", value: 2.2e-5, unit: "F", volts: 63 };
    const { items, uses } = buildStores(
      book(stock("in", 9, near), repair("electrolytic 25 µF 40 V", 4), repair("10 µF 16 V", 1)),
    );
    expect(items[0].count).toBe(5);
    expect(uses[0].matches).toStrictEqual([
      {
        spec: { kind: "electrolytic", value: 2.2e-5, unit: "F", volts: 63 },
        count: 4,
        isNear: true,
      },
    ]);
    expect(uses[1].taken).toBe(0);
    const both = buildStores(
      book(stock("in", 9, near), stock("in", 1, { ...near, value: 2.5e-5 })),
    );
    const [first] = reserveParts(
      [{ spec: parsePartSpec("electrolytic 25 µF 40 V"), needed: 4 }],
      both,
    );
    expect(first).toMatchObject({ reserved: 1, missing: 3 });
  });

  it("take of two values as near the larger, in whatever order they lie there", () => {
    // 8 and 12.5 µF are a quarter off 10 µF either way.
    const spec = parsePartSpec("electrolytic 10 µF 25 V");
    const [small, large] = [8e-6, 12.5e-6].map((value) =>
      stock("in", 3, { ...electrolytic, value }),
    );
    for (const lines of [
      [small, large],
      [large, small],
    ]) {
      const [found] = reserveParts([{ spec, needed: 4 }], buildStores(book(...lines)));
      expect(found.matches.map((one) => [one.spec.value, one.count])).toStrictEqual([
        [12.5e-6, 3],
        [8e-6, 1],
      ]);
    }
  });

  // IEC 61938 (from memory): feed resistors within 0.4 % of one another.
  it("set aside as a pair only what is one whichever two are drawn", () => {
    const demand = { spec: parsePartSpec("feed resistor pair 6k8"), needed: 1, pairPercent: 0.4 };
    const resistor = (part: string, count: number) => ({
      ...stock("in", count, { part, value: 6800, unit: "Ω" }),
    });
    const reserve = (...lines: object[]) => reserveParts([demand], buildStores(book(...lines)))[0];
    expect(reserve(resistor("resistor 0.1%", 3))).toMatchObject({
      reserved: 1,
      matches: [{ count: 2 }],
    });
    expect(reserve(resistor("resistor 0.1%", 1))).toMatchObject({ reserved: 0, missing: 1 });
    expect(reserve(resistor("resistor 1%", 50))).toMatchObject({
      reserved: 0,
      missing: 1,
      toPick: { count: 50 },
    });
    expect(reserve(resistor("feed resistor pair", 1))).toMatchObject({ reserved: 1, missing: 0 });
  });
});

describe("how well a part does, as figures", () => {
  const rate = (wanted: string, part: string) =>
    rateFit(parsePartSpec(wanted), parsePartSpec(part));

  it.each([
    // The same on every bag: within 1 %
    ["resistor 100", "resistor 101", 0],
    ["resistor 100", "resistor 102", Math.log(1.02)],
    ["resistor 102", "resistor 100", Math.log(1.02)],
    // Resistors a twentieth, film a tenth, electrolytics a quarter
    ["resistor 100", "resistor 105", Math.log(1.05)],
    ["resistor 100", "resistor 106", undefined],
    ["resistor 105", "resistor 100", Math.log(1.05)],
    ["film 100n", "film 110n", Math.log(1.1)],
    ["film 100n", "film 112n", undefined],
    ["electrolytic 100u", "electrolytic 125u", Math.log(1.25)],
    ["electrolytic 100u", "electrolytic 127u", undefined],
    // As far as an electrolytic where either of both is one
    ["100u", "electrolytic 120u", Math.log(1.2)],
    ["100u", "bipolar 120u", Math.log(1.2)],
    ["100u", "120u", undefined],
    // No further than the tolerance that is asked for, nor than its kind may be
    ["resistor 100 2%", "resistor 102 2%", Math.log(1.02)],
    ["resistor 100 2%", "resistor 103 2%", undefined],
    ["resistor 100 10%", "resistor 106 10%", undefined],
    ["resistor 100 10%", "resistor 105 10%", Math.log(1.05)],
  ] as const)("for %s, %s lies off by %s", (wanted, part, distance) => {
    const found = rate(wanted, part);
    expect(found?.distance).toStrictEqual(
      distance === undefined ? undefined : expect.closeTo(distance, 9),
    );
    if (distance !== undefined) expect(found?.isSame).toBe(distance === 0);
  });

  it.each([
    ["resistor 100 1%", "resistor 100 1%", true],
    ["resistor 100 1%", "resistor 100 2%", false],
    ["resistor 100 1%", "resistor 100 0,5%", true],
    ["resistor 100", "resistor 100 20%", true],
    ["resistor 100 0.5W", "resistor 100 0.5W", true],
    ["resistor 100 0.5W", "resistor 100 500mW", true],
    ["resistor 100 0.5W", "resistor 100 499 mW", false],
    ["resistor 100 0.5W", "resistor 100 0.6 watts", true],
    ["resistor 100 0.5W", "resistor 100 0,25W", false],
    ["resistor 100 0.5W", "resistor 100", false],
    ["film 100n 63 V", "film 100n 63 V", true],
    ["film 100n 63 V", "film 100n 62 V", false],
    ["film 100n", "100n", true],
    ["100n", "film 100n", true],
    ["film 100n", "ceramic 100n", false],
    ["film capacitor 100n", "film 100n", true],
    ["resistor 100", "100n", false],
    ["fuse", "fuse 100 ohm", false],
    ["op amp", "op amp", true],
    ["op amp", "amp op", true],
    ["op amp", "op", false],
  ])("for %s, %s does: %s", (wanted, part, does) => {
    expect(rate(wanted, part) !== undefined).toBe(does);
  });

  it("count the words that nobody asked for, but for those that say nothing", () => {
    const strangers = (wanted: string, part: string) => rate(wanted, part)?.strangers;
    expect(strangers("film 100n", "film 100n")).toBe(0);
    expect(strangers("film 100n", "film capacitor 100n radial new")).toBe(0);
    expect(strangers("film 100n", "polyester film 100n box")).toBe(2);
    expect(strangers("100n", "film 100n")).toBe(1);
    expect(strangers("op amp", "op amp")).toBe(0);
  });

  it("say their tolerance where they have one", () => {
    const percent = (kind: string) => getTolerancePercent({ kind });
    expect(["1%", "± 0,5 %", "resistor 10% 0.5 w", "resistor"].map(percent)).toStrictEqual([
      1,
      0.5,
      10,
      undefined,
    ]);
  });
});

describe("the stores, move by move", () => {
  const counts = (...lines: readonly object[]) =>
    buildStores(book(...lines)).items.map(({ count }) => count);
  const part = (text: string, count: number, more: object = {}) => {
    const { kind, ...spec } = parsePartSpec(text);
    return stock("in", count, { part: kind, ...spec, ...more });
  };

  it("add, take away and are counted anew, never below nothing", () => {
    expect(counts(stock("in", 5), stock("in", 3))).toStrictEqual([8]);
    expect(counts(stock("in", 5), stock("out", 3))).toStrictEqual([2]);
    expect(counts(stock("in", 5), stock("out", 7))).toStrictEqual([0]);
    expect(counts(stock("in", 5), stock("set", 3))).toStrictEqual([3]);
    expect(counts(stock("set", 3), stock("in", 5))).toStrictEqual([8]);
    expect(counts(stock("out", 3))).toStrictEqual([0]);
    expect(counts(stock("in", 5), stock("in", 3, { ...electrolytic, volts: 35 }))).toStrictEqual([
      5, 3,
    ]);
    expect(buildStores(book()).isKept).toBe(false);
    expect(buildStores(book(repair("10 µF", 1))).isKept).toBe(false);
    expect(buildStores(book(stock("in", 0))).isKept).toBe(true);
  });

  it("keep the last price and where it was bought", () => {
    const { items } = buildStores(
      book(
        stock("in", 5, { ...electrolytic, price: 0.1, from: "here" }),
        stock("in", 5, { ...electrolytic, price: 0.2 }),
        stock("in", 5),
      ),
    );
    expect(items).toMatchObject([{ count: 15, price: 0.2, from: "here" }]);
    const [plain] = buildStores(book(stock("in", 5))).items;
    expect(plain).not.toHaveProperty("price");
    expect(plain).not.toHaveProperty("from");
  });

  it("give a repair what lies there, and say how many are left of the last", () => {
    const [use] = buildStores(book(stock("in", 5), repair("10 µF 50 V", 7))).uses;
    expect(use).toMatchObject({ wanted: 7, taken: 5, left: 0 });
    const [none] = buildStores(book(stock("in", 5), repair("knob", 1))).uses;
    expect(none).toMatchObject({ taken: 0, matches: [] });
    expect(none).not.toHaveProperty("left");
    // A drawer of the very value, though empty, is where they came from.
    const lines = [part("electrolytic 10u 63 V", 0), part("electrolytic 12u 63 V", 9)];
    expect(buildStores(book(...lines, repair("electrolytic 10 µF", 2))).uses[0].taken).toBe(0);
    expect(counts(part("electrolytic 12u 63 V", 9), repair("electrolytic 10 µF", 2))).toStrictEqual(
      [7],
    );
  });

  it("take the nearest first, then what was asked for, then the fewest volts, then the larger", () => {
    const order = (wanted: string, ...bags: readonly string[]) => {
      const take = (given: readonly string[]) => {
        const lines = given.map((text) => part(text, 1));
        const [found] = reserveParts(
          [{ spec: parsePartSpec(wanted), needed: 9 }],
          buildStores(book(...lines)),
        );
        return found.matches.map(({ spec: { kind, value, volts } }) => [kind, value, volts]);
      };
      expect(take([...bags].reverse())).toStrictEqual(take(bags));
      return take(bags);
    };
    expect(order("electrolytic 10u", "electrolytic 12u", "electrolytic 11u")).toStrictEqual([
      ["electrolytic", 11e-6, undefined],
      ["electrolytic", 12e-6, undefined],
    ]);
    expect(order("film 100n", "polyester film 100n", "film 100n")).toStrictEqual([
      ["film", 100e-9, undefined],
      ["polyester film", 100e-9, undefined],
    ]);
    expect(order("film 100n", "film 100n 63 V", "film 100n", "film 100n 50 V")).toStrictEqual([
      ["film", 100e-9, undefined],
      ["film", 100e-9, 50],
      ["film", 100e-9, 63],
    ]);
  });

  it("know a price of what does, also where none of it is left", () => {
    const spec = parsePartSpec("10 µF 35 V");
    const reserve = (...lines: readonly object[]) =>
      reserveParts([{ spec, needed: 2 }], buildStores(book(...lines)))[0];
    expect(reserve(stock("in", 0, { ...electrolytic, price: 0.1, from: "here" }))).toMatchObject({
      reserved: 0,
      missing: 2,
      price: 0.1,
      from: "here",
    });
    expect(reserve(stock("in", 1))).not.toHaveProperty("price");
    expect(reserve(stock("in", 1, { ...electrolytic, from: "here" }))).toMatchObject({
      reserved: 1,
      missing: 1,
      from: "here",
    });
    expect(reserveParts([{ needed: 2 }], buildStores(book()))).toStrictEqual([
      { reserved: 0, missing: 2, matches: [] },
    ]);
  });

  it("make pairs of two each of half the match, and no more than are wanted", () => {
    const reserve = (needed: number, pairPercent: number, ...lines: readonly object[]) =>
      reserveParts(
        [{ spec: parsePartSpec("feed resistor pair 6k8"), needed, pairPercent }],
        buildStores(book(...lines)),
      )[0];
    const loose = (percent: string, count: number) => part(`resistor 6k8 ${percent}`, count);
    expect(reserve(1, 0.4, loose("0.2%", 4))).toMatchObject({ reserved: 1, missing: 0 });
    expect(reserve(1, 0.4, loose("0.25%", 4))).toMatchObject({ reserved: 0, missing: 1 });
    expect(reserve(3, 0.4, loose("0.1%", 5))).toMatchObject({
      reserved: 2,
      missing: 1,
      matches: [{ count: 4 }],
    });
    expect(reserve(2, 0.4, loose("0.1%", 5), loose("0.2%", 4))).toMatchObject({
      reserved: 2,
      matches: [{ count: 4 }],
    });
    expect(reserve(3, 0.4, loose("0.1%", 5), loose("0.2%", 4)).matches).toHaveLength(2);
    expect(reserve(1, 0.4, part("resistor 6k9 0.1%", 4)).reserved).toBe(0);
    expect(reserve(1, 0.4, loose("1%", 2)).toPick).toMatchObject({ count: 2 });
    expect(reserve(1, 0.4, loose("1%", 1))).not.toHaveProperty("toPick");
    expect(reserve(1, 0.4, loose("0.1%", 9))).not.toHaveProperty("toPick");
  });

  it("hold what stock lines and repairs say, and nothing of other notes", () => {
    const stores = buildStores(
      book(
        { kind: "fault", strip: "5", text: "hum" },
        stock("in", 3, { part: "op amp dual" }),
        part("film 100n", 2),
      ),
    );
    expect(stores).toStrictEqual({
      items: [
        { kind: "op amp dual", count: 3 },
        { kind: "film", value: 1e-7, unit: "F", count: 2 },
      ],
      uses: [],
      isKept: true,
    });
    expect(formatSpecKey({ kind: "op amp" })).toBe("op amp|||");
    expect(formatSpecKey({ kind: "", value: 10, unit: "Ω", volts: 63 })).toBe("|10|Ω|63");
  });

  it("give what is near where the very value is used up, and each bag once", () => {
    const spec = parsePartSpec("electrolytic 10u");
    const stores = buildStores(book(part("electrolytic 10u", 0), part("electrolytic 12u", 3)));
    const [near] = stores.items.slice(1).map(({ count: _, ...one }) => one);
    expect(
      reserveParts(
        [2, 2].map((needed) => ({ spec, needed })),
        stores,
      ),
    ).toStrictEqual([
      { reserved: 2, missing: 0, matches: [{ spec: near, count: 2, isNear: true }] },
      { reserved: 1, missing: 1, matches: [{ spec: near, count: 1, isNear: true }] },
    ]);
    const both = buildStores(book(part("electrolytic 10u", 1), part("electrolytic 10u 63 V", 1)));
    expect(reserveParts([{ spec, needed: 1 }], both)[0].matches).toHaveLength(1);
  });

  it("take the larger of two values that are as near, to a thousandth", () => {
    // ln(12/10) = 0.18232, ln(10/8.334) = 0.18224.
    const stores = buildStores(book(part("electrolytic 8.334u", 1), part("electrolytic 12u", 1)));
    const [found] = reserveParts([{ spec: parsePartSpec("electrolytic 10u"), needed: 2 }], stores);
    expect(found.matches.map(({ spec }) => spec.value)).toStrictEqual([12e-6, 8.334e-6]);
  });

  it("have the price of the first that has one or says where it was bought", () => {
    const film = (text: string, more: object) => part(text, 1, more);
    const reserve = (...lines: readonly object[]) =>
      reserveParts(
        [{ spec: parsePartSpec("film 100n"), needed: 1 }],
        buildStores(book(...lines)),
      )[0];
    const dear = film("film 100n 63 V", { price: 0.4, from: "here" });
    expect(reserve(film("film 100n", {}), dear)).toMatchObject({ price: 0.4, from: "here" });
    const found = reserve(film("film 100n", { from: "there" }), dear);
    expect(found).toMatchObject({ from: "there" });
    expect(found).not.toHaveProperty("price");
  });

  it("make pairs only for those still wanted, and leave the rest to the next", () => {
    const spec = parsePartSpec("feed resistor pair 6k8");
    const pair = (needed: number) => ({ spec, needed, pairPercent: 0.4 });
    const ready = buildStores(
      book(part("feed resistor pair 6k8", 1), part("resistor 6k8 0.1%", 9)),
    );
    expect(reserveParts([pair(2)], ready)).toMatchObject([
      { reserved: 2, missing: 0, matches: [{ count: 1 }, { count: 2 }] },
    ]);
    const five = buildStores(book(part("resistor 6k8 0.1%", 5)));
    expect(reserveParts([pair(1), pair(2)], five)).toMatchObject([
      { reserved: 1, missing: 0 },
      { reserved: 1, missing: 1 },
    ]);
  });
});

describe("labels and values of two kinds", () => {
  // The value with the unit of a capacitor is the part's; what else stands there stays in its name.
  it.each([
    ["snubber 100n 10R", { kind: "snubber 10r", value: 1e-7, unit: "F" }],
    ["snubber 100n 4k7", { kind: "snubber 4k7", value: 1e-7, unit: "F" }],
    ["resistor 100n 4700", { kind: "resistor 4700", value: 1e-7, unit: "F" }],
    ["snubber 4n7 10R", { kind: "snubber 10r", value: 4.7e-9, unit: "F" }],
    ["divider 10 ohm 4k7", { kind: "divider 4k7", value: 10, unit: "Ω" }],
    ["resistor 10 ohm 4700", { kind: "resistor 4700", value: 10, unit: "Ω" }],
    ["resistor 4k7 4700", { kind: "resistor 4700", value: 4700, unit: "Ω" }],
  ] as const)("%s", (text, spec) => {
    expect(parsePartSpec(text)).toStrictEqual(spec);
  });

  it("fit nothing of another unit, without a value, or without a name", () => {
    const ohms = { kind: "", value: 10, unit: "Ω" } as const;
    expect(rateFit(ohms, { ...ohms, unit: "F" })).toBeUndefined();
    expect(rateFit(ohms, { kind: "" })).toBeUndefined();
    expect(rateFit({ kind: "" }, { kind: "" })).toBeUndefined();
    expect(rateFit({ kind: "fuse" }, { ...ohms, kind: "fuse" })).toBeUndefined();
    expect(rateFit(ohms, ohms)).toStrictEqual({ isSame: true, distance: 0, strangers: 0 });
  });
});
