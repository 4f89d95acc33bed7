import { expect, it } from "vitest";
import { hasTwoClocks } from "../../src/capture/one-clock.js";

// The bound is common practice: converters on one crystal differ by nothing at all.
it("takes a difference of more than 2 ppm, either way, for two clocks", () => {
  expect([-2.1, -2, 0, 2, 2.1].map(hasTwoClocks)).toStrictEqual([true, false, false, false, true]);
});
