import { existsSync } from "node:fs";
import { join } from "node:path";
import { listBuiltInLimits } from "./built-in.js";
import type { Limit } from "./types.js";

const limitsFileName = "limits.yaml";

/**
 * Reads the limits of a desk: the built-in ones and those of its limits file, which may replace
 * built-in ones by name. Without a file, YAML is not loaded.
 *
 * @param folder the desk's folder, which may have a `limits.yaml`
 *
 * @param named another file, if given; it must exist
 * @param baseline whether a baseline round was named
 * @throws DeskroundError `limits-file`, naming file and line
 */
export async function readLimits(
  folder: string,
  named: string | undefined,
  baseline: "named" | "none",
): Promise<readonly Limit[]> {
  const file = named ?? join(folder, limitsFileName);
  if (named === undefined && !existsSync(file)) return listBuiltInLimits(baseline);
  const [{ limitsFile, parseLimits }, { readTextFile }] = await Promise.all([
    import("./parse-limits.js"),
    import("../../text-file.js"),
  ]);
  return parseLimits(readTextFile(file, limitsFile), file, baseline);
}
