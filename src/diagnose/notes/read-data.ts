import { existsSync, readFileSync } from "node:fs";

/**
 * A file of `data/`, next to `src` and `dist` and next to the bundle: long lists that are only
 * loaded when a note is read.
 *
 * @param name of the file
 * @example
 * readData("ordinary-words.txt").startsWith("abode"); // true
 */
export function readData(name: string): string {
  const [bundled, whole] = ["../data", "../../../data"].map(
    (folder) => new URL(`${folder}/${name}`, import.meta.url),
  );
  return readFileSync(existsSync(bundled) ? bundled : whole, "utf8");
}
