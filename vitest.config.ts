import { availableParallelism } from "node:os";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

const long = ["tests/**/*.long.test.ts"];
/** Tests that replace a module: each in a worker of its own. */
const apart = ["tests/**/*.apart.test.ts"];

/** Small files that take long: begun last, each would leave the other cores idle at the end. */
const first =
  /[\\/](?:cli[\\/](?:processes|listen|start-up|note|desk-folder|load-program)|jobs[\\/](?:main-job|containers)|prove[\\/]prove|service[\\/]notebook[\\/]phrasings)\.test\.ts$/;

/** Long files first; of the others the large ones, as vitest has it where it knows no times. */
class LongFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]) {
    const sorted = await super.sort(files);
    const isFirst = ({ moduleId }: TestSpecification) => first.test(moduleId);
    return [...sorted.filter(isFirst), ...sorted.filter((one) => !isFirst(one))];
  }
}

export default defineConfig({
  test: {
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // Every core: one worker more made the whole some 3 % slower on two cores.
    maxWorkers: availableParallelism(),
    sequence: { sequencer: LongFirst },
    // What one file has compiled and made quick serves the next.
    isolate: false,
    // Messages name the program as where it is installed; days of the tests are of 2030 and on.
    env: { DESKROUND_COMMAND: "deskround", DESKROUND_FUTURE: "yes" },
    globalSetup: ["tests/build.ts"],
    tags: [{ name: "slow", description: "left out by `npm test`: see tests/helpers/slow.ts" }],
    projects: [
      {
        extends: true,
        test: { name: "quick", include: ["tests/**/*.test.ts"], exclude: [...long, ...apart] },
      },
      { extends: true, test: { name: "quick-apart", include: apart, isolate: true } },
      {
        extends: true,
        test: { name: "long", include: long, testTimeout: 300_000, hookTimeout: 300_000 },
      },
    ],
    coverage: {
      provider: "custom",
      customProviderModule: "scripts/line-coverage.mjs",
      include: ["src/**/*.ts"],
      // Runs in a browser, and the browser's tests try it there.
      exclude: ["src/report/html/browser/**"],
      reporter: ["text-summary", "json-summary"],
      thresholds: { lines: 90 },
    },
  },
});
