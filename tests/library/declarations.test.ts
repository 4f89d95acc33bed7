import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect, it } from "vitest";

const root = fileURLToPath(new URL("../../", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "declarations-"));
afterAll(() => rmSync(folder, { recursive: true }));

/** What is used by name has to be there by name, and no entry may need the types of Node.js. */
const consumer = `
import * as dsp from "deskround/dsp";
import * as measure from "deskround/measure";
import { DeskroundError, inspectRecording } from "deskround/capture";
import { DeskroundError as SignalError } from "deskround/signal";
import { type Cause, diagnosePath, explainPath, type PathReference } from "deskround/diagnose";
import { type PathToRank, rankPaths } from "deskround/rank";

export function getHint(error: unknown): string | undefined {
  return error instanceof DeskroundError || error instanceof SignalError ? error.hint : undefined;
}

export function nameCauses(paths: readonly PathToRank[], around: PathReference): readonly Cause[] {
  const [ranked] = rankPaths(paths);
  explainPath(paths[0], ranked, around);
  return diagnosePath(paths[0], ranked, around);
}

export const rate: number = inspectRecording("a.wav").sampleRate;
export { dsp, measure };
`;

it("the entries' declarations stand alone, and export what their functions take", () => {
  mkdirSync(join(folder, "node_modules"));
  symlinkSync(root, join(folder, "node_modules", "deskround"));
  writeFileSync(join(folder, "consumer.mts"), consumer);
  const compilerOptions = {
    strict: true,
    noEmit: true,
    target: "es2022",
    lib: ["es2022"],
    module: "nodenext",
    types: [],
  };
  writeFileSync(
    join(folder, "tsconfig.json"),
    JSON.stringify({ compilerOptions, files: ["consumer.mts"] }),
  );
  const tsc = join(root, "node_modules", "typescript", "bin", "tsc");
  const told = () => {
    try {
      return execFileSync(process.execPath, [tsc, "-p", folder], { encoding: "utf8" });
    } catch (error) {
      return String((error as { stdout?: unknown }).stdout);
    }
  };
  expect(told()).toBe("");
});
