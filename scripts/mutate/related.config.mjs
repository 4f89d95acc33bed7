import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { defineConfig } from "vitest/config";
import { BaseSequencer } from "vitest/node";
import whole from "../../vitest.config.ts";
import { applyChange, changedSource } from "./changed-source.mjs";

const change = JSON.parse(process.env[changedSource] ?? "null");
const { testTimeout, hookTimeout, env, tags } = whole.test;

/**
 * Tests that ask the built program, or read the sources as text: no change reaches them. Those of the
 * change's own room have been tried before.
 */
const leftOut = [
  ...["built.test.ts", "cli/**", "docs/**", "house/**", "library/**", "mutate/**"],
  ...(change === null ? [] : [`${change.file.split("/")[1]}/**`]),
];

/** Small files come first, which are quick, so that most changes are noticed soon. */
class SmallFirst extends BaseSequencer {
  async sort(files) {
    const sizes = new Map(files.map((one) => [one, readFileSync(one.moduleId).length]));
    return [...files].sort((a, b) => sizes.get(a) - sizes.get(b));
  }
}

/** The quick tests of all rooms, with one place of a source changed as it is read. */
export default defineConfig({
  plugins: [
    {
      name: "change",
      enforce: "pre",
      load(id) {
        if (change === null || id !== resolve(change.file)) return null;
        return applyChange(readFileSync(id, "utf8"), change);
      },
    },
  ],
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: [
      "**/*.long.test.ts",
      "**/*.apart.test.ts",
      "**/browser*.test.ts",
      ...leftOut.map((name) => `tests/${name}`),
    ],
    sequence: { sequencer: SmallFirst },
    maxWorkers: 1,
    isolate: false,
    bail: 1,
    testTimeout,
    hookTimeout,
    env,
    tags,
    tagsFilter: ["!slow"],
  },
});
