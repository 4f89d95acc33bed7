import { readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";

const require = createRequire(import.meta.url);

/**
 * Closes the files that a thread of the built program keeps open between its tasks.
 *
 * @param {string} folder of the program
 */
export function closeFiles(folder) {
  const at = new URL(folder);
  const chunk = readdirSync(at).find((name) => /^thread-files-.*\.js$/.test(name));
  if (chunk === undefined) throw new Error(`${folder} has no chunk thread-files-*.js`);
  // Within the program exports have short names.
  const close = Object.values(require(fileURLToPath(new URL(chunk, at)))).find(
    (one) => one?.name === "closeThreadFiles",
  );
  if (close === undefined) throw new Error(`${chunk} does not export closeThreadFiles`);
  close();
}
