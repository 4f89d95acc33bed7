import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { applyChange } from "./changed-source.mjs";

/**
 * Finds the changes that the compiler turns down: no such program is ever tried.
 *
 * One change a file is made at a time, in all files at once: an error counts for the change of the file
 * that has it. (A change of one operator hardly ever alters what a file offers to others.)
 *
 * @param {readonly object[]} changes of `listMutants`
 * @returns {Set<object>} those that do not compile
 */
export function findUncompiled(changes) {
  const folder = resolve("coverage", `types-${process.pid}`);
  try {
    copySources(folder);
    const uncompiled = new Set();
    for (const round of inRounds(changes)) {
      const files = compile(folder, round);
      for (const change of round) if (files.has(change.file)) uncompiled.add(change);
    }
    return uncompiled;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Groups in which every file occurs once at most. */
function inRounds(changes) {
  const rounds = [];
  const known = new Map();
  for (const change of changes) {
    const k = known.get(change.file) ?? 0;
    known.set(change.file, k + 1);
    rounds[k] = [...(rounds[k] ?? []), change];
  }
  return rounds;
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

/** Files with an error once the changes are made; the sources are afterwards what they were. */
function compile(folder, changes) {
  const whole = changes.map(({ file }) => readFileSync(join(folder, file), "utf8"));
  changes.forEach((change, k) => {
    writeFileSync(join(folder, change.file), applyChange(whole[k], change));
  });
  const compiler = resolve("node_modules/typescript/bin/tsc");
  const words = [compiler, "--noEmit", "--pretty", "false", "-p", "tsconfig.changed.json"];
  const { stdout } = spawnSync(process.execPath, words, { cwd: folder, encoding: "utf8" });
  changes.forEach(({ file }, k) => {
    writeFileSync(join(folder, file), whole[k]);
  });
  return new Set(
    [...stdout.matchAll(/^(src\/[^(\n]+)\(\d+,\d+\): error/gm)].map(([, file]) => file),
  );
}
