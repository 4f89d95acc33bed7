import { expect, it } from "vitest";
import { amplifiesMore } from "../../src/desk/unlike-gains.js";

// A microphone level of −50 dBu against a line level of +4 dBu; 20 dB is common practice.
it("says that the input fed at the lower level amplifies more, from 20 dB on", () => {
  expect(amplifiesMore(-50, 4)).toBe(true);
  expect(amplifiesMore(4, -50)).toBe(false);
  expect(amplifiesMore(-16, 4)).toBe(true);
  expect(amplifiesMore(-15.9, 4)).toBe(false);
});
