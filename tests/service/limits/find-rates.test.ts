import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compileNode } from "../../../src/service/limits/compile-node.js";
import { findRates } from "../../../src/service/limits/find-rates.js";
import { loadLockedMath } from "../../../src/service/limits/locked-math.js";

const names = ["f0", "f1", "f2"];
const { parse } = await loadLockedMath();
const ratesOf = (text: string) => findRates(parse(text), names);

const factor = fc.integer({ min: -9, max: 9 }).map((n) => `(${n})`);
const expression = fc.letrec<{ tree: string }>((tie) => ({
  tree: fc.oneof(
    { maxDepth: 4 },
    fc.constantFrom(...names),
    factor,
    fc
      .tuple(tie("tree"), fc.constantFrom("+", "-"), tie("tree"))
      .map(([a, operator, b]) => `(${a}) ${operator} (${b})`),
    fc.tuple(tie("tree"), fc.integer({ min: 1, max: 9 })).map(([a, n]) => `(${a}) / ${n}`),
    fc.tuple(tie("tree"), fc.integer({ min: 0, max: 9 })).map(([a, n]) => `${n} * (${a})`),
    tie("tree").map((a) => `-abs(${a})`),
    fc
      .tuple(fc.constantFrom("min", "max"), tie("tree"), tie("tree"))
      .map(([name, a, b]) => `${name}(${a}, ${b})`),
  ),
})).tree;

const figure = fc.double({ min: -150, max: 150, noNaN: true });
const figures = fc.tuple(figure, figure, figure);

describe("findRates", () => {
  // By the definition of a Lipschitz constant: no two sets of figures lie further apart than that.
  it("bounds how far a side moves, for any figures", () => {
    fc.assert(
      fc.property(expression, figures, figures, (text, one, other) => {
        const node = parse(text);
        const side = compileNode(node, names);
        const rates = findRates(node, names) ?? [];
        const most = rates.reduce((sum, rate, k) => sum + rate * Math.abs(one[k] - other[k]), 0);
        const moved = Math.abs(side(one) - side(other));
        expect(moved).toBeLessThanOrEqual(most + 1e-9 * (1 + Math.abs(side(one))));
      }),
    );
  });

  it("is as small as it can be for what limits are made of", () => {
    expect(ratesOf("abs(f0 - f1)")).toStrictEqual([1, 1, 0]);
    expect(ratesOf("f0 - f0 + 3")).toStrictEqual([2, 0, 0]);
    expect(ratesOf("max(2 * f0, f1 / (-4), 7)")).toStrictEqual([2, 0.25, 0]);
    expect(ratesOf("-(f2) * 0.5")).toStrictEqual([0, 0, 0.5]);
  });

  it("is not known where figures multiply or divide each other", () => {
    for (const text of ["f0 * f1", "f0 / f1", "2 / f0", "f0 * (1 + 1)", "g", "f0 ^ 2"]) {
      expect(ratesOf(text), text).toBeUndefined();
    }
  });
});
