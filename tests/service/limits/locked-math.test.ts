import { describe, expect, it } from "vitest";
import {
  type LockedMath,
  loadFewParts,
  loadNumberMath,
} from "../../../src/service/limits/locked-math.js";

/** What limits are made of, and their values by hand. */
const expressions: readonly (readonly [string, number])[] = [
  ["1 + 2 * 3", 7],
  ["-(4 - 6) / 8", 0.25],
  ["abs(-3) - min(2, 1) + max(1, 5)", 7],
  ["x * 2 - +y", -4],
];

describe.each([
  ["few parts", async () => loadFewParts()],
  ["the public entry", loadNumberMath],
] as const)("the locked-down parser from %s", (_, load: () => Promise<LockedMath>) => {
  it.each(expressions)("works out %s", async (text, value) => {
    const math = await load();
    const scope = new Map([
      ["x", -1],
      ["y", 2],
    ]);
    expect(math.parse(text).compile().evaluate(scope)).toBe(value);
  });

  it.each(["sqrt(4)", "import(1)", "evaluate(1)", "parse(1)", "random()", "2 ^ 3"])(
    "has nothing to work out %s with",
    async (text) => {
      const math = await load();
      expect(() => math.parse(text).compile().evaluate(new Map())).toThrow();
    },
  );

  it("parses the same nodes", async () => {
    const math = await load();
    expect(math.parse("a <= b < c").type).toBe("RelationalNode");
    expect(math.parse("response(20 kHz) >= -3 dB").type).toBe("OperatorNode");
    expect(math.constant(2.5).toString()).toBe("2.5");
    expect(math.symbol("q").toString()).toBe("q");
  });
});
