import { parsePath } from "../../desk/paths.js";
import type { DeskPath } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";

/**
 * The paths that the user declared silent, each once.
 *
 * @throws DeskroundError `usage` for one that the desk does not have
 */
export function parseSilentPaths(
  named: readonly string[],
  paths: readonly DeskPath[],
): readonly string[] {
  const found = named.map((text) => {
    try {
      return parsePath(text, paths).path;
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      throw new DeskroundError(error.code, `--silent: ${error.message}`, error.hint, error);
    }
  });
  return [...new Set(found)];
}
