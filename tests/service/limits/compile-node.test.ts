import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compileNode } from "../../../src/service/limits/compile-node.js";
import { loadLockedMath } from "../../../src/service/limits/locked-math.js";

// What is right is what mathjs itself makes of the same expression.

const names = ["f0", "f1", "f2"];
const { parse } = await loadLockedMath();

const expression = fc.letrec<{ tree: string }>((tie) => ({
  tree: fc.oneof(
    { maxDepth: 4 },
    fc.constantFrom(...names),
    fc.integer({ min: 0, max: 99 }).map(String),
    fc
      .tuple(tie("tree"), fc.constantFrom("+", "-", "*", "/"), tie("tree"))
      .map(([a, operator, b]) => `(${a}) ${operator} (${b})`),
    fc.tuple(fc.constantFrom("-", "+"), tie("tree")).map(([sign, a]) => `${sign}(${a})`),
    tie("tree").map((a) => `abs(${a})`),
    fc
      .tuple(fc.constantFrom("min", "max"), fc.array(tie("tree"), { minLength: 2, maxLength: 3 }))
      .map(([name, all]) => `${name}(${all.join(", ")})`),
  ),
})).tree;

const figure = fc.double({ min: -150, max: 150, noNaN: true });

describe("compileNode", () => {
  it("gives what the parser's own evaluation gives", () => {
    fc.assert(
      fc.property(expression, fc.tuple(figure, figure, figure), (text, figures) => {
        const node = parse(text);
        const scope = new Map(names.map((name, k) => [name, figures[k]]));
        expect(compileNode(node, names)(figures)).toBe(Number(node.compile().evaluate(scope)));
      }),
    );
  });

  it("refuses what limits do not have", () => {
    for (const text of ["f0 ^ 2", "sin(f0)", "g", "f0 % 2", "min(f0, [1])", "f0 > 1 ? 1 : 2"]) {
      expect(() => compileNode(parse(text), names), text).toThrow(/not allowed in a limit/);
    }
  });
});
