import { existsSync, readFileSync } from "node:fs";

/**
 * A file of `data/`, which lies beside `src` and `dist`, and beside the bundle: long lists that only
 * who reads a note waits for.
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
