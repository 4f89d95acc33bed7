import { defineConfig } from "vitest/config";

/** Names the rooms whose tests are run, commas between them: the test runner is a process of its own. */
export const testedRooms = "DESKROUND_TESTED_ROOMS";

const rooms = process.env[testedRooms]?.split(",") ?? [];

/** The tests of some rooms that need no more than the sources: no browser, no long proof. */
export default defineConfig({
  test: {
    include: rooms.map((room) => `tests/${room}/**/*.test.ts`),
    exclude: ["**/*.long.test.ts", "**/browser*.test.ts"],
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
