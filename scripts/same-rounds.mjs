/**
 * Compares what two builds of the program make of the same captures, so that a change that is meant
 * to alter no result can be shown to alter none.
 *
 *     node scripts/same-rounds.mjs captures <captures>        renders the captures, once
 *     node scripts/same-rounds.mjs make <tree> <captures> <out> [case…]
 *     node scripts/same-rounds.mjs compare <before> <after> [--words]
 *
 * `make` runs the command line of a built checkout (its folder, or its `dist`) and stores what it
 * prints as JSON. `compare` reports every value that differs, with its place, and ends with 1 if
 * there is one. Added keys are listed and allowed, and so are sentences that are worded differently,
 * unless `--words` is given. The version of the program is ignored.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { renderCaptures } from "./same-rounds-captures.mjs";
import { cases, runCase } from "./same-rounds-cases.mjs";
import { findDifferences } from "./same-rounds-differences.mjs";

const usage = `usage: node scripts/same-rounds.mjs captures <captures>
       node scripts/same-rounds.mjs make <tree> <captures> <out> [case…]
       node scripts/same-rounds.mjs compare <before> <after> [--words]
`;
const [command, ...rest] = process.argv.slice(2);
const folders = rest.filter((argument) => !argument.startsWith("--"));
/** Most differences that are printed of one file. */
const most = 40;

if (command === "captures" && folders.length === 1) {
  renderCaptures(folders[0]);
} else if (command === "make" && folders.length >= 3) {
  make(...folders);
} else if (command === "compare" && folders.length === 2) {
  process.exitCode = compare(folders[0], folders[1], rest.includes("--words"));
} else {
  process.stderr.write(usage);
  process.exitCode = 2;
}

function make(tree, captures, out, ...wanted) {
  mkdirSync(out, { recursive: true });
  for (const one of cases) {
    if (wanted.length > 0 && !wanted.includes(one.name)) continue;
    const results = runCase(one, { tree, captures });
    writeFileSync(join(out, `${one.name}.json`), `${JSON.stringify(results, null, 1)}\n`);
    const exits = Object.values(results).map(({ exit }) => exit);
    process.stdout.write(`${one.name}: ${exits.length} results, exit codes ${exits.join(" ")}\n`);
  }
}

function compare(before, after, wordsCount) {
  const names = [...new Set([...listResults(before), ...listResults(after)])].sort();
  let failed = 0;
  for (const name of names) {
    const [a, b] = [before, after].map((folder) => readResult(folder, name));
    const found = findDifferences(a, b);
    const counted = [...found.changed, ...(wordsCount ? found.reworded : [])];
    const added = [...new Set(found.added)];
    process.stdout.write(
      `${name}: ${found.compared} values, ${counted.length === 0 ? "same" : `${counted.length} DIFFER`}` +
        `, ${added.length} kinds of keys added, ${found.reworded.length} sentences reworded\n`,
    );
    for (const line of counted.slice(0, most)) process.stdout.write(`  ${line}\n`);
    if (counted.length > most) {
      process.stdout.write(`  and ${counted.length - most} more\n`);
    }
    for (const key of added) process.stdout.write(`  added: ${key}\n`);
    if (!wordsCount) {
      for (const line of [...new Set(found.reworded)].slice(0, 5)) {
        process.stdout.write(`  reworded: ${line}\n`);
      }
    }
    failed += counted.length;
  }
  process.stdout.write(failed === 0 ? "The rounds are the same.\n" : `${failed} values differ.\n`);
  return failed === 0 && names.length > 0 ? 0 : 1;
}

function listResults(folder) {
  return readdirSync(folder).filter((name) => name.endsWith(".json"));
}

function readResult(folder, name) {
  try {
    return JSON.parse(readFileSync(join(folder, name), "utf8"));
  } catch (error) {
    if (error.code === "ENOENT") return undefined;
    throw error;
  }
}
