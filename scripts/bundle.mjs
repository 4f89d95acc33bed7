/**
 * Puts the command line's modules, and those of the libraries that they use, into few files:
 * `program/`. Loading some three hundred small modules took longer than all that `show` does with
 * them. The modules in `dist/` stay as they are, for those who import them.
 *
 *     node scripts/bundle.mjs
 *     node scripts/bundle.mjs --maps    of src/, with source maps, for the count of covered lines
 *
 * What a thread loads by its address (`new URL("./task.js", import.meta.url)`) keeps its name, and
 * all files lie in one folder, so that such an address is right here too. They are CommonJS, which
 * Node.js loads quicker, and of which it can be kept what V8 compiled (`bin/load-program.js`).
 */
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { rolldown } from "rolldown";
import { narrowText } from "./narrow-text.mjs";

const root = fileURLToPath(new URL("..", import.meta.url));
const dist = join(root, "dist");
const program = join(root, "program");
const withMaps = process.argv.includes("--maps");
/** What is bundled: maps lead straight to the sources where these are read themselves. */
const [modules, ending] = withMaps ? [join(root, "src"), ".ts"] : [dist, ".js"];

const byAddress = readdirSync(modules, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(ending) && !name.endsWith(".d.ts"))
  .flatMap((name) => {
    const file = join(modules, name);
    const found = readFileSync(file, "utf8").matchAll(
      /new URL\("(\.\/[\w-]+)\.js", import\.meta\.url\)/g,
    );
    return [...found].map(([, address]) => resolve(dirname(file), `${address}${ending}`));
  });
const entries = [join(modules, "cli", `main${ending}`), ...new Set(byAddress)];
const input = Object.fromEntries(entries.map((file) => [basename(file, ending), file]));
if (Object.keys(input).length < entries.length) throw new Error("two entries have one name");

const bundle = await rolldown({
  input,
  platform: "node",
  cwd: root,
  plugins: [await holdMath(), leaveOutProcesses(), measureNarrowText()],
  resolve: withMaps ? { extensionAlias: { ".js": [".ts", ".js"] } } : {},
});
const { output } = await bundle.write({
  sourcemap: withMaps,
  dir: program,
  format: "cjs",
  entryFileNames: "[name].js",
  chunkFileNames: "[name]-[hash].js",
  // V8 reads plain ASCII about twice as fast; the comments stay in dist/.
  comments: false,
  minify: {
    compress: false,
    mangle: false,
    codegen: { removeWhitespace: false, asciiOnly: true },
  },
});
await bundle.close();
/** A program that was started before may still ask for files of an earlier build; a package holds none. */
const keptMs = process.argv.includes("--clean") ? -1 : 3_600_000;
writeFileSync(join(program, "LICENSES.txt"), collectLicences(output));
writeFileSync(join(program, "package.json"), '{ "type": "commonjs" }\n');
const written = new Set(
  ["LICENSES.txt", "package.json"].concat(output.map(({ fileName }) => fileName)),
);
for (const name of readdirSync(program)) {
  const file = join(program, name);
  if (written.has(name)) continue;
  const isOld = Date.now() - statSync(file).mtimeMs > keptMs;
  // What Node.js compiled of an earlier build serves no more.
  if (isOld || name === ".compiled" || name.endsWith(".map"))
    rmSync(file, { recursive: true, maxRetries: 5 });
}
// A file in the way of the folder: what V8 kept of a module could only be counted function by function.
if (withMaps) writeFileSync(join(program, ".compiled"), "");

/** Puts the files of mathjs that limits need in place of the module that asks for them by name. */
async function holdMath() {
  const file = join("service", "limits", "math-files");
  const { mathFactories, mathFiles } = await import(pathToFileURL(join(dist, `${file}.js`)).href);
  const folder = join(root, "node_modules", "mathjs", "lib", "esm");
  const imports = mathFiles.map(
    (name, k) => `import * as part${k} from ${JSON.stringify(join(folder, name))};`,
  );
  const parts = mathFiles.map((name, k) => `${JSON.stringify(name)}: part${k}`);
  const code = [
    ...imports,
    `const parts = { ${parts.join(", ")} };`,
    `export const mathFactories = ${JSON.stringify(mathFactories)};`,
    "export const requireMathFile = (file) => parts[file];",
  ].join("\n");
  const held = join(modules, `${file}${ending}`);
  return { name: "hold-math", load: (id) => (id === held ? { code } : null) };
}

/**
 * commander loads what starts processes, for commands that are programs of their own. There are none
 * here, and a start would wait for it.
 */
function leaveOutProcesses() {
  const nothing = "\0no-processes";
  return {
    name: "leave-out-processes",
    resolveId: (id, importer = "") =>
      id === "node:child_process" && /[/\\]node_modules[/\\]commander[/\\]/.test(importer)
        ? nothing
        : null,
    load: (id) => (id === nothing ? { code: "module.exports = {};", moduleType: "js" } : null),
  };
}

/**
 * string-width looks for emoji in every text, with a pattern that takes 25 ms to make. A text of
 * letters that are all one column wide has as many columns as letters.
 */
function measureNarrowText() {
  const begin = "if (typeof string !== 'string' || string.length === 0) {\n\t\treturn 0;\n\t}";
  return {
    name: "measure-narrow-text",
    transform: (code, id) => {
      if (!/[/\\]node_modules[/\\]string-width[/\\]index\.js$/.test(id)) return null;
      if (!code.includes(begin)) throw new Error("string-width begins otherwise than was known");
      const narrow = `if (${narrowText}.test(string)) return string.length;`;
      return { code: code.replace(begin, () => `${begin}\n\t${narrow}`) };
    },
  };
}

/**
 * The licences of the libraries whose code is in the bundle, as these ask for. Only permissive ones
 * may go in; what stays a package of its own, as the FLAC decoder does, brings its own licence.
 */
function collectLicences(chunks) {
  const permissive = ["MIT", "ISC", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "0BSD"];
  const folders = new Set(
    chunks
      .flatMap(({ moduleIds = [] }) => moduleIds)
      .flatMap(
        (id) =>
          /^.*[/\\]node_modules[/\\](?:@[^/\\]+[/\\])?[^/\\]+/.exec(id.replace(/^\0/, "")) ?? [],
      ),
  );
  const texts = [...folders].sort().map((folder) => {
    const { name, version, license, author } = JSON.parse(
      readFileSync(join(folder, "package.json"), "utf8"),
    );
    if (!permissive.includes(license)) {
      throw new Error(`${name} is under ${license}: it may not go into the bundle`);
    }
    const file = readdirSync(folder).find((one) => /^licen[cs]e/i.test(one));
    const by = typeof author === "string" ? author : author?.name;
    const text =
      file === undefined
        ? `Under the licence ${license}${by === undefined ? "" : `, by ${by}`}.`
        : readFileSync(join(folder, file), "utf8").trim();
    return `${name} ${version} (${license})\n\n${text}\n`;
  });
  const head = "The files in this folder hold code of these libraries, under their own licences.\n";
  return [head, ...texts].join(`\n${"-".repeat(72)}\n\n`);
}
