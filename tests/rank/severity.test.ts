import { expect, test } from "vitest";
import { classifySeverity, getThresholdFactor } from "../../src/rank/severity.js";

// Expected: docs/judging.md, "How a path is judged".

test("in small families several practical floors count as one", () => {
  expect([2, 3, 4, 5, 6, 48].map(getThresholdFactor)).toStrictEqual([3, 3, 2, 2, 1, 1]);
});

test.each([
  // significance, difference in practical floors, harmful, severity
  [3.4, 9, true, undefined],
  [3.5, 1, true, "remark"],
  [3.5, 0.99, true, undefined],
  [4.09, 9, true, "remark"],
  [4.1, 1, true, "watch"],
  [4.99, 9, true, "watch"],
  [5, 1.5, true, "service"],
  [5, 1.49, true, "watch"],
  [5, 0.99, true, undefined],
  [9, 9, false, "remark"],
  [-9, 9, true, "service"],
  [9, -9, true, "service"],
])("significance %d and %d floors, harmful %s: %s", (significance, floors, harmful, severity) => {
  expect(classifySeverity(significance, floors * 2, 2, harmful)).toBe(severity);
});
