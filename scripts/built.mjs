/**
 * Whether what is built was made of the sources that stand here, so that tests need not build again.
 *
 *     node scripts/built.mjs    notes what was built of what: the last step of `npm run build`
 */
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const note = join("dist", ".built-from");
/** All that the build reads, but for what is installed, which the lock file names. */
const sources = [
  "src",
  "scripts/bundle.mjs",
  "scripts/man.mjs",
  "package.json",
  "package-lock.json",
  "tsconfig.json",
  "tsconfig.build.json",
];
const made = ["dist", "program", "man"];
/** Not made by the build: this note, and what Node.js compiled since. */
const besides = /(?:^|[/\\])(?:\.built-from|\.compiled)(?:$|[/\\])/;

if (process.argv[1] === fileURLToPath(import.meta.url)) noteBuilt(".");

/**
 * Notes that what is built was made of the sources that stand there.
 *
 * @param {string} root of the tree
 */
export function noteBuilt(root) {
  writeFileSync(join(root, note), `${hashAll(root)}\n`);
}

/**
 * @param {string} root of the tree
 * @returns whether neither sources nor what was made of them changed since that was noted
 */
export function isBuilt(root) {
  const file = join(root, note);
  return existsSync(file) && readFileSync(file, "utf8").trim() === hashAll(root);
}

/** Of names and contents: times say little, as a file may be put back as it was. */
function hashAll(root) {
  const hash = createHash("sha256");
  for (const name of [...sources, ...made].flatMap((one) => listFiles(root, one))) {
    const bytes = readFileSync(join(root, name));
    hash.update(`${name}\n${bytes.length}\n`).update(bytes);
  }
  return hash.digest("hex");
}

function listFiles(root, name) {
  const path = join(root, name);
  if (besides.test(name) || !existsSync(path)) return [];
  if (statSync(path).isFile()) return [name];
  return readdirSync(path)
    .sort()
    .flatMap((one) => listFiles(root, join(name, one)));
}
