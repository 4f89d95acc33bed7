import { expect, it } from "vitest";
// @ts-expect-error a script without types
import { killWriting } from "../../scripts/kill/writing.mjs";

it("programs that are ended while they store rounds lose none and leave none half", async () => {
  const { said, there, wrong } = await killWriting(12, 7);
  expect(wrong).toEqual([]);
  expect(said).toBeGreaterThan(0);
  // One may be stored whose program did not get to say so.
  expect(there).toBeGreaterThanOrEqual(said);
  expect(there).toBeLessThanOrEqual(said + 12);
});
