import { nameSecondFamily, nameSecondSide } from "../rank/partner-path.js";
import { formatList } from "../text/format-list.js";

const sides = ["left", "right"] as const;

/**
 * Paths for a sentence: a path with both sides is listed once, by its name alone.
 *
 * @example
 * withoutSecondSides(["1/mic", "1/mic, right side", "2/mic, right side"]); // ["1/mic", "2/mic, right side"]
 */
export function withoutSecondSides(paths: readonly string[]): readonly string[] {
  const second = new Set(paths.flatMap((path) => sides.map((side) => nameSecondSide(path, side))));
  return paths.filter((path) => !second.has(path));
}

/**
 * Families for a sentence, without those of second sides if the first side's family is listed.
 *
 * @example
 * formatFamilies(["mic", "mic (right side)", "line"]); // "mic, line"
 */
export function formatFamilies(families: readonly string[]): string {
  const second = new Set(
    families.flatMap((one) => sides.map((side) => nameSecondFamily(one, side))),
  );
  return formatList(families.filter((one) => !second.has(one)));
}
