import { execFileSync } from "node:child_process";
import { existsSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { TestProject } from "vitest/node";
// @ts-expect-error: a script without types
import { isBuilt } from "../scripts/built.mjs";

const root = fileURLToPath(new URL("..", import.meta.url));

/** Files of a folder that end so, without that ending. */
function filesOf(folder: string, ending: string): ReadonlySet<string> {
  const names = existsSync(folder)
    ? readdirSync(folder, { recursive: true, encoding: "utf8" })
    : [];
  return new Set(
    names.filter((name) => name.endsWith(ending)).map((name) => name.slice(0, -ending.length)),
  );
}

/**
 * Builds before the first test, so that the tests of the built program try the source that stands
 * there: what has changed is compiled, what has no source any more is taken away, and where a
 * compiled file is missing everything is made anew. What was built of these very sources, as by
 * `npm ci`, is left as it is. Where lines are counted, the program is made with
 * source maps, so that those are counted too which run in its processes.
 */
export default function build({ vitest }: TestProject): void {
  if (!vitest.config.coverage.enabled && isBuilt(root)) return;
  const dist = join(root, "dist");
  const [sources, compiled] = [filesOf(join(root, "src"), ".ts"), filesOf(dist, ".js")];
  for (const name of compiled) if (!sources.has(name)) rmSync(join(dist, `${name}.js`));
  if ([...sources].some((name) => !name.endsWith(".d") && !compiled.has(name))) {
    rmSync(dist, { recursive: true, force: true });
  }
  execFileSync("npm", ["run", "--silent", "build"], { cwd: root, stdio: "inherit" });
  if (vitest.config.coverage.enabled) {
    execFileSync(process.execPath, ["scripts/bundle.mjs", "--maps"], { cwd: root });
  }
}
