import { spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { changedSource } from "./changed-source.mjs";

/** Longer than the quick tests of all rooms take on one slow core that is shared. */
const limitS = 1500;

/**
 * Has the tests of all rooms that import a source, also from far off, try one change of it.
 *
 * @param {object} change of `listMutants`
 * @returns {Promise<{ status: "Killed" | "Survived" | "Slow", killedBy?: string }>} `Slow` where the
 *   clock ended the tests
 * @throws {Error} where the tests could not be run
 */
export async function tryRelated(change) {
  const output = join("coverage", `related-${process.pid}.json`);
  const words = [
    join("node_modules", "vitest", "vitest.mjs"),
    ...["related", change.file, "--run", "--config", "scripts/mutate/related.config.mjs"],
    ...["--reporter=json", `--outputFile.json=${output}`, "--passWithNoTests"],
  ];
  const env = { ...process.env, [changedSource]: JSON.stringify(change) };
  const ended = await run(words, env);
  if (ended === undefined) return { status: "Slow" };
  try {
    const { success, testResults } = JSON.parse(readFileSync(output, "utf8"));
    if (success) return { status: "Survived" };
    const file = testResults.find(({ status }) => status === "failed");
    const test = file?.assertionResults.find(({ status }) => status === "failed");
    return { status: "Killed", killedBy: `${file?.name}: ${test?.fullName ?? file?.message}` };
  } finally {
    rmSync(output, { force: true });
  }
}

/** Its exit code; undefined where it took too long. */
function run(words, env) {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, words, { env, stdio: "ignore", detached: true });
    const timer = setTimeout(() => {
      process.kill(-child.pid, "SIGKILL");
      resolve(undefined);
    }, limitS * 1000);
    child.on("error", reject);
    child.on("exit", (code) => {
      clearTimeout(timer);
      resolve(code);
    });
  });
}
