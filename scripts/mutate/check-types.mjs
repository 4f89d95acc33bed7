import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { applyChange } from "./changed-source.mjs";

/**
 * Finds the changes that the compiler turns down: no such program is ever tried.
 *
 * Each change is made in a copy of its file beside it, and all are compiled at once: an error counts
 * for the change of the copy that has it. (A change of one operator hardly ever alters what a file
 * offers to others.)
 *
 * @param {readonly object[]} changes of `listMutants`
 * @returns {Set<object>} those that do not compile
 */
export function findUncompiled(changes) {
  if (changes.length === 0) return new Set();
  const folder = resolve("coverage", `types-${process.pid}`);
  try {
    copySources(folder);
    const copies = changes.map((change, k) => writeCopy(folder, change, k));
    const failed = compile(folder);
    return new Set(changes.filter((_, k) => failed.has(copies[k])));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The name of the copy, as the compiler gives it. */
function writeCopy(folder, change, k) {
  const name = change.file.replace(/\.ts$/, `.changed-${k}.ts`);
  const whole = readFileSync(join(folder, change.file), "utf8");
  writeFileSync(join(folder, name), applyChange(whole, change));
  return name;
}

function copySources(folder) {
  mkdirSync(folder, { recursive: true });
  for (const name of ["src", "data", "package.json", "tsconfig.json"]) {
    cpSync(name, join(folder, name), { recursive: true });
  }
  symlinkSync(resolve("node_modules"), join(folder, "node_modules"));
  const settings = {
    extends: "./tsconfig.json",
    include: ["src"],
    exclude: ["src/report/html/browser"],
    // What is left unused by a change does no harm.
    compilerOptions: { noUnusedLocals: false, noUnusedParameters: false },
  };
  writeFileSync(join(folder, "tsconfig.changed.json"), JSON.stringify(settings));
}

/** Files with an error. */
function compile(folder) {
  const compiler = resolve("node_modules/typescript/bin/tsc");
  const words = [compiler, "--noEmit", "--pretty", "false", "-p", "tsconfig.changed.json"];
  const { stdout } = spawnSync(process.execPath, words, {
    cwd: folder,
    encoding: "utf8",
    maxBuffer: 1e9,
  });
  return new Set(
    [...stdout.matchAll(/^(src\/[^(\n]+)\(\d+,\d+\): error/gm)].map(([, file]) => file),
  );
}
