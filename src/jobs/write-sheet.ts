import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { assertOwnFile } from "../assert-own-file.js";
import { DeskroundError } from "../errors.js";
import type { SheetForm } from "../report/sheet/form.js";
import { writeForAnywhere } from "../text/program-name.js";
import { assertRegularTarget, writeFileAtomic } from "../write-file-atomic.js";

/** The file for a run sheet. */
export interface SheetTarget {
  readonly file: string;
  readonly form: SheetForm;
  /** Whether an earlier sheet is replaced. */
  readonly write: "new" | "replace";
}

/**
 * Rejects an unusable target of a run sheet before anything is written.
 *
 * @param signals files of the test signal that are written beside it
 * @throws DeskroundError `cannot-write` when the file exists and is not to be replaced, or is not a
 * run sheet; `usage` when it is the signal's file
 */
export function assertSheetTarget(target: SheetTarget, signals: readonly string[]): void {
  const { file, form, write } = target;
  assertRegularTarget(file);
  if (write === "new" && existsSync(file)) throw sheetExists(file);
  if (write === "replace") assertOwnFile(file, form.kind);
  const same = signals.find((one) => resolve(one) === resolve(file));
  if (same !== undefined) throw sameFile(same);
}

/**
 * Writes a run sheet, whole or not at all.
 *
 * @param render its text in the target's form
 * @throws DeskroundError `cannot-write` when the file has appeared meanwhile and is not to be
 * replaced
 */
export function writeSheet({ file, form, write }: SheetTarget, render: () => string): void {
  const mode = write === "new" ? "new" : form.kind;
  if (writeFileAtomic(file, writeForAnywhere(render), mode) === "exists") throw sheetExists(file);
}

function sheetExists(file: string): DeskroundError {
  return new DeskroundError(
    "cannot-write",
    `${file} exists already and was left as it is.`,
    "It may hold ticks and remarks. --force replaces an earlier run sheet; --sheet can name another file.",
  );
}

function sameFile(file: string): DeskroundError {
  return new DeskroundError(
    "usage",
    `${file} cannot be both the test signal and its run sheet.`,
    "Name another file with --sheet.",
  );
}
