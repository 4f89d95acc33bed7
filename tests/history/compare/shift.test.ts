import { describe, expect, it, test } from "vitest";
import { computeCommonShift, computeShiftError } from "../../../src/history/compare/shift.js";

// Medians and distances by hand; Qn: 2.2219 · d · (factor for n), d the k-th smallest distance of all
// pairs, k = h(h − 1)/2, h = ⌊n/2⌋ + 1 (Rousseeuw & Croux, 1993).

describe("computeCommonShift", () => {
  it("of fewer than eight siblings is the median of all, counted as one fewer", () => {
    // n = 5: h = 3, k = 3; distances 1, 1, 1, 1, 2, 2, 2, 3, 3, 4 → 1, factor 0.844
    const shift = computeCommonShift([3, 1, 2, 4, 5], 0);
    expect(shift).toMatchObject({ count: 4, median: 3 });
    expect(shift?.scale).toBeCloseTo(2.2219 * 0.844, 9);
  });

  it("of three siblings counts as two, and of two there is none", () => {
    expect(computeCommonShift([1, 1, 2], 0)?.count).toBe(2);
    expect(computeCommonShift([1, 1], 0)).toBeUndefined();
  });

  it("of eight or more leaves out who is more than five deviations from the densest half", () => {
    // Densest half of 0 … 8 and one more: width 4, middle 2, 3, 4, 5 or 6 alike; 2 lies nearest to 0.
    // Its deviation: 1.4826 · (1 + 5/9) · 4/2 = 4.61, times five: up to 25.06 belongs.
    const deviation = 1.4826 * (1 + 5 / 9) * 2;
    const values = [0, 1, 2, 3, 4, 5, 6, 7, 8];
    const within = computeCommonShift([...values, 2 + 4.99 * deviation], 0);
    const beyond = computeCommonShift([...values, 2 + 5.01 * deviation], 0);
    expect(within).toMatchObject({ count: 10 - 3, median: 4.5 });
    expect(beyond).toMatchObject({ count: 9 - 3, median: 4 });
    const below = [...values.map((value) => -value), -2 - 5.01 * deviation];
    expect(computeCommonShift(below, 0)).toMatchObject({ count: 9 - 3, median: -4 });
  });

  it("grants everybody a deviation before it leaves anybody out", () => {
    // Eight alike and one off: nothing but what is granted holds it, five times 0.2.
    const alike = Array(8).fill(1);
    expect(computeCommonShift([...alike, 1.99], 0.2)?.count).toBe(9 - 3);
    expect(computeCommonShift([...alike, 2.01], 0.2)?.count).toBe(8 - 3);
    expect(computeCommonShift([...alike, 0.01], 0.2)?.count).toBe(9 - 3);
    expect(computeCommonShift([...alike, -0.01], 0.2)?.count).toBe(8 - 3);
  });

  it("of two halves as dense as each other is what the one nearer to no change did", () => {
    const half = (at: number, apart: number) => [0, 1, 2, 3, 4].map((k) => at + k * apart);
    const dense = (near: number, far: number) =>
      computeCommonShift([...half(1, near), ...half(90, far)], 1)?.median;
    // Widths of 4 · 0.5 and 4 · 0.3 differ by 0.8, less than the 1 that is granted.
    expect(dense(0.5, 0.3)).toBeCloseTo(1 + 2 * 0.5, 12);
    // 4 · 0.8 and 4 · 0.3 differ by 2: the denser half is the crowd.
    expect(dense(0.8, 0.3)).toBeCloseTo(90 + 2 * 0.3, 12);
    const mirrored = [...half(-1, -0.5), ...half(90, 0.3)];
    expect(computeCommonShift(mirrored, 1)?.median).toBeCloseTo(-2, 12);
  });
});

test("a median is √(π/2) less certain than a mean", () => {
  const error = computeShiftError({ count: 16, median: 0, scale: 2 });
  expect(error).toBeCloseTo(1.2533141 * 0.5, 6);
});
