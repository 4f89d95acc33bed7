import { defineConfig } from "vitest/config";
import whole from "../../vitest.config.ts";
import { allRooms, testedFiles, testedRooms, withSlow } from "./tested-rooms.mjs";

const rooms = process.env[testedRooms]?.split(",") ?? [];
/** Tests that ask the built program, or read the sources as text: no change reaches them. */
const withoutSources = [
  ...["accuracy", "bench", "cli", "docs", "house", "mutate", "prove", "same-rounds"],
  "measure/reading-facets.test.ts",
];
const { testTimeout, hookTimeout, env, tags } = whole.test;

/**
 * A file whose tests could not even be collected fails a run, yet has no test that failed: the mutation
 * tester would take it for one that noticed nothing.
 */
const failedFiles = {
  name: "failed-files",
  configureVitest({ vitest: { state } }) {
    const collect = state.collectFiles.bind(state);
    state.collectFiles = (project, files = []) => {
      for (const { result, tasks, filepath } of files) {
        if (result?.state !== "fail" || tasks.length > 0) continue;
        state.errorsSet.add(result.errors?.[0] ?? new Error(`${filepath} cannot be collected`));
      }
      collect(project, files);
    };
  },
};

/**
 * The tests of some rooms that need no more than the sources: no browser, no long proof, and none
 * that takes seconds unless these are asked for.
 */
export default defineConfig({
  plugins: [failedFiles],
  test: {
    include:
      process.env[testedFiles]?.split(",") ??
      rooms.map((room) => `tests/${room === allRooms ? "*" : room}/**/*.test.ts`),
    exclude: [
      ...["**/*.long.test.ts", "**/*.apart.test.ts", "**/browser*.test.ts"],
      ...(rooms.includes(allRooms)
        ? withoutSources.flatMap((name) => [`tests/${name}`, `tests/${name}/**`])
        : []),
    ],
    testTimeout,
    hookTimeout,
    env,
    tags,
    ...(process.env[withSlow] === undefined ? { tagsFilter: ["!slow"] } : {}),
  },
});
