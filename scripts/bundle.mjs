/**
 * Puts the command line's modules, and those of the libraries that they use, into few files:
 * `program/`. Loading some three hundred small modules took longer than all that `show` does with
 * them. The modules in `dist/` stay as they are, for those who import them.
 *
 *     node scripts/bundle.mjs
 *
 * What a thread loads by its address (`new URL("./task.js", import.meta.url)`) keeps its name, and
 * all files lie in one folder, so that such an address is right here too.
 */
import { readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";

const root = fileURLToPath(new URL("..", import.meta.url));
const dist = join(root, "dist");
const program = join(root, "program");

const byAddress = readdirSync(dist, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".js"))
  .flatMap((name) => {
    const file = join(dist, name);
    const found = readFileSync(file, "utf8").matchAll(
      /new URL\("(\.\/[\w-]+\.js)", import\.meta\.url\)/g,
    );
    return [...found].map(([, address]) => resolve(dirname(file), address));
  });
const entries = [join(dist, "cli", "main.js"), ...new Set(byAddress)];
const input = Object.fromEntries(entries.map((file) => [basename(file, ".js"), file]));
if (Object.keys(input).length < entries.length) throw new Error("two entries have one name");

const bundle = await rolldown({ input, platform: "node", cwd: root });
const { output } = await bundle.write({
  dir: program,
  format: "esm",
  entryFileNames: "[name].js",
  chunkFileNames: "[name]-[hash].js",
});
await bundle.close();
/** A program that was started before may still ask for files of an earlier build. */
const keptMs = 3_600_000;
const written = new Set(output.map(({ fileName }) => fileName));
for (const name of readdirSync(program)) {
  const file = join(program, name);
  if (!written.has(name) && Date.now() - statSync(file).mtimeMs > keptMs) rmSync(file);
}
