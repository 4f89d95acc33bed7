import { expect, it } from "vitest";
// @ts-expect-error a script without types
import { killCommands } from "../../scripts/kill/commands.mjs";

// What was there before is there after, byte for byte or longer; what a command said that it did is
// done; no file is half of one.
it("every command that writes, killed at any moment, keeps what it said and leaves nothing half", async () => {
  const { counts, wrong } = await killCommands(33, 7);
  expect(wrong).toEqual([]);
  expect(counts.size).toBeGreaterThanOrEqual(30);
}, 900_000);
