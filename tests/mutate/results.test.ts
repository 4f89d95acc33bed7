import { expect, test } from "vitest";

const script = (name: string) => new URL(`../../scripts/mutate/${name}.mjs`, import.meta.url).href;
const { computeShare, describeMissed, describeShares } = await import(script("results"));
const { applyChange } = await import(script("changed-source"));
const { drawSome, listMutants } = await import(script("draw-mutants"));

// R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine
// 17 (1998), table I, method 3 (score without continuity correction).
test.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])("the interval of %i in %i", (hits, of, low, high) => {
  const share = computeShare(hits, of);
  expect(share.share).toBe(hits / of);
  expect(share.low).toBeCloseTo(low, 4);
  expect(share.high).toBeCloseTo(high, 4);
});

test("nothing tried says nothing", () => {
  expect(computeShare(0, 0)).toMatchObject({ low: 0, high: 1 });
});

test("the same seed draws the same, in the order of the list, none twice", () => {
  const list = Array.from({ length: 50 }, (_, i) => i);
  const drawn: number[] = drawSome(list, 20, 7);
  expect(drawSome(list, 20, 7)).toEqual(drawn);
  expect(drawSome(list, 20, 8)).not.toEqual(drawn);
  expect([...new Set(drawn)].sort((a, b) => a - b)).toEqual(drawn);
  expect(drawn).toHaveLength(20);
  expect(drawSome(list, 80, 7)).toEqual(list);
});

test("each entry is drawn as often as any other", () => {
  const counts = Array(10).fill(0);
  for (let seed = 1; seed <= 4000; seed++) {
    for (const i of drawSome([0, 1, 2, 3, 4, 5, 6, 7, 8, 9], 3, seed)) counts[i]++;
  }
  // Binomial: 1200 ± 29 (one standard deviation).
  for (const count of counts) expect(Math.abs(count - 1200)).toBeLessThan(5 * 29);
});

test("changes of operators are listed with what they replace, texts are left alone", async () => {
  const all = await listMutants(["src/dsp/straight-line.ts"]);
  expect(all.map(({ kind }: { kind: string }) => kind)).not.toContain("StringLiteral");
  const sums = all.filter(({ kind }: { kind: string }) => kind === "ArithmeticOperator");
  expect(sums.length).toBeGreaterThan(5);
  for (const { original, replacement, text } of sums) {
    expect(text).toContain(original);
    expect(replacement).not.toBe(original);
  }
});

test("what was missed is printed, and counted by room", () => {
  const at = { start: { line: 9, column: 0 }, end: { line: 9, column: 5 }, kind: "x" };
  const change = {
    ...at,
    original: "a + b",
    replacement: "a - b",
    text: "return a + b;",
    tests: 4,
  };
  const found = [
    { ...change, file: "src/dsp/a.ts", status: "Survived" },
    { ...change, file: "src/dsp/a.ts", status: "Killed" },
    // What the clock ended counts neither way.
    { ...change, file: "src/dsp/a.ts", status: "Slow" },
    // Nor does what no compiler takes.
    { ...change, file: "src/dsp/a.ts", status: "Uncompiled" },
    { ...change, file: "src/measure/c.ts", status: "Killed", further: true },
    { ...change, file: "src/rank/b.ts", status: "Equivalent", why: "b is always 0" },
  ];
  const printed = describeMissed(found) + describeShares(found);
  expect(printed).toContain("Survived src/dsp/a.ts:10 (4 tests reach it)");
  expect(printed).toContain("a + b  →  a - b");
  expect(printed).toMatch(/dsp +2 +1 +0 +0 +1 +0 +1 +50\.0 % \(9\.5 to 90\.5\)/);
  expect(printed).toMatch(/rank +0 +0 +0 +0 +0 +1/);
  expect(printed).toMatch(/measure +1 +1 +1/);
  expect(printed).not.toContain("Uncompiled");
  expect(printed).toContain("b is always 0");
});

test("a change is made in its place, and nowhere else", () => {
  const source = "const a = 1;\nconst b = a + a;\nconst c = a + a;\n";
  const at = { start: { line: 1, column: 10 }, end: { line: 1, column: 15 } };
  const change = { ...at, original: "a + a", replacement: "a - a" };
  expect(applyChange(source, change)).toBe("const a = 1;\nconst b = a - a;\nconst c = a + a;\n");
  expect(() => applyChange(source, { ...change, original: "a * a" })).toThrow(/drawn from/);
});
