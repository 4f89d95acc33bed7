import { defineConfig } from "vitest/config";
import whole from "../../vitest.config.ts";
import { testedRooms, withSlow } from "./tested-rooms.mjs";

const rooms = process.env[testedRooms]?.split(",") ?? [];
const { testTimeout, hookTimeout, env, tags } = whole.test;

/**
 * The tests of some rooms that need no more than the sources: no browser, no long proof, and none
 * that takes seconds unless these are asked for.
 */
export default defineConfig({
  test: {
    include: rooms.map((room) => `tests/${room}/**/*.test.ts`),
    exclude: ["**/*.long.test.ts", "**/browser*.test.ts"],
    testTimeout,
    hookTimeout,
    env,
    tags,
    ...(process.env[withSlow] === undefined ? { tagsFilter: ["!slow"] } : {}),
  },
});
