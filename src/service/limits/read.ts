import { existsSync } from "node:fs";
import { join } from "node:path";
import { listBuiltInLimits } from "./built-in.js";
import type { Limit } from "./types.js";

const limitsFileName = "limits.yaml";

/**
 * The limits that hold for a desk: the built-in ones and those of its limits file, which may
 * replace built-in ones by their names. Without a file none of YAML is loaded.
 *
 * @param folder the desk's folder, in which `limits.yaml` may lie
 * @param named another file, when one was named; it must be there
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
    import("../../yaml-file.js"),
  ]);
  return parseLimits(readTextFile(file, limitsFile), file, baseline);
}
