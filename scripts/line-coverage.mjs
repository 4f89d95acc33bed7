/**
 * Counts the lines that the tests reach, for `npm run coverage`: those that run in the tests' own
 * processes, as vitest's V8 provider counts them, and those that run in processes of the built
 * program that tests start. Node.js writes down what each of these ran when it ends
 * (`NODE_V8_COVERAGE`); one that is killed leaves nothing. `tests/build.ts` builds the program with
 * source maps for this.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import v8 from "@vitest/coverage-v8";

const root = fileURLToPath(new URL("..", import.meta.url));
const program = join(root, "program");
/** Where processes of the program leave what they ran. */
const left = join(root, "coverage", "program");
/** What `bin/load-program.js` puts behind a file to compile it as a function. */
const wrapperEnd = "\n})".length;

export default {
  ...v8,
  async startCoverage(options) {
    // Set only now, in a worker that runs already: what it runs itself, the provider counts.
    process.env.NODE_V8_COVERAGE = left;
    return v8.startCoverage(options);
  },
  async getProvider() {
    const provider = await v8.getProvider();
    rmSync(left, { recursive: true, force: true });
    mkdirSync(left, { recursive: true });
    const generate = provider.generateCoverage.bind(provider);
    provider.generateCoverage = async (context) => {
      const map = await generate(context);
      const known = new Set(map.files());
      for (const { url, functions, startOffset } of await readLeft()) {
        map.merge(await provider.remapCoverage(url, startOffset, readWithMap(url), functions));
      }
      map.filter((file) => known.has(file));
      return map;
    };
    return provider;
  },
};

/** What the program's processes ran: each file once for each way in which it was loaded. */
async function readLeft() {
  const own = createRequire(createRequire(import.meta.url).resolve("@vitest/coverage-v8"));
  const { mergeProcessCovs } = await import(pathToFileURL(own.resolve("@bcoe/v8-coverage")).href);
  const inProgram = pathToFileURL(`${program}/`).href;
  const lengths = new Map(
    readdirSync(program)
      .filter((name) => existsSync(join(program, `${name}.map`)))
      .map((name) => [inProgram + name, readFileSync(join(program, name), "utf8").length]),
  );
  /** By what stood before the file's first character when it was compiled. */
  const merged = new Map();
  for (const name of readdirSync(left)) {
    const result = readResult(join(left, name));
    const byOffset = new Map();
    for (const script of result.filter(({ url }) => lengths.has(url))) {
      const more = script.functions[0].ranges[0].endOffset - lengths.get(script.url);
      const startOffset = more === 0 ? 0 : more - wrapperEnd;
      byOffset.set(startOffset, [...(byOffset.get(startOffset) ?? []), script]);
    }
    for (const [startOffset, scripts] of byOffset) {
      const before = merged.get(startOffset) ?? { result: [] };
      merged.set(startOffset, mergeProcessCovs([before, { result: scripts }]));
    }
  }
  return [...merged].flatMap(([startOffset, { result }]) =>
    result.map((script) => ({ ...script, startOffset })),
  );
}

function readWithMap(url) {
  const file = fileURLToPath(url);
  const map = JSON.parse(readFileSync(`${file}.map`, "utf8"));
  map.sources = map.sources.map((source) => new URL(source, url).href);
  return { code: readFileSync(file, "utf8"), map };
}

/** What one process left; nothing where its disk was full or somebody ended it while it wrote. */
function readResult(file) {
  try {
    return JSON.parse(readFileSync(file, "utf8")).result;
  } catch {
    return [];
  }
}
