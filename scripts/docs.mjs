/**
 * Brings the pages up to date: runs their examples, puts what they print beneath them, and makes
 * the tables that come from the code.
 *
 *     npm run docs                     rewrites README.md and docs/*.md
 *     node scripts/docs.mjs docs/check.md   that page alone
 *     node scripts/docs.mjs --json     says as JSON what they ought to be, and writes nothing
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { runExamples } from "./docs-examples.mjs";
import { makeParts } from "./docs-tables.mjs";
import { recordExample } from "./example-desk.mjs";

const root = fileURLToPath(new URL("..", import.meta.url));
const named = process.argv.slice(2).filter((word) => !word.startsWith("--"));
const all = [
  "README.md",
  ...readdirSync(join(root, "docs"))
    .filter((name) => name.endsWith(".md"))
    .map((name) => `docs/${name}`),
];
const pages = named.length === 0 ? all : all.filter((name) => named.includes(name));

const work = mkdtempSync(join(tmpdir(), "deskround-docs-"));
try {
  const recordings = join(work, "recordings");
  recordExample(recordings);
  const made = await Promise.all(pages.map((name, k) => make(name, recordings, `page-${k}`)));
  if (process.argv.includes("--json")) process.stdout.write(JSON.stringify(made));
  else for (const page of made) settle(page);
} finally {
  rmSync(work, { recursive: true, force: true });
}

async function make(name, recordings, folderName) {
  const text = readFileSync(join(root, name), "utf8");
  const folder = join(work, folderName);
  cpSync(recordings, folder, { recursive: true });
  const { page, ran } = await runExamples(makeParts(text), folder);
  return { name, text: page, ran };
}

function settle({ name, text, ran }) {
  for (const { line, command, expected, code, output } of ran) {
    if (code === expected) continue;
    process.exitCode = 1;
    process.stderr.write(
      `${name} line ${line}: exit code ${code}, not ${expected}: ${command}\n${output}\n`,
    );
  }
  if (text === readFileSync(join(root, name), "utf8")) return;
  writeFileSync(join(root, name), text);
  process.stderr.write(`Rewrote ${name}.\n`);
}
