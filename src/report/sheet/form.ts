import type { OwnKind } from "../../assert-own-file.js";
import { DeskroundError } from "../../errors.js";
import type { RunSheet } from "../../service/run-sheet.js";
import { renderSheetHtml } from "./html.js";
import { renderSheetMarkdown } from "./markdown.js";
import { renderSheetText } from "./text.js";

/** A form of the run sheet: how it is written, and how its files are known again. */
interface SheetForm {
  readonly render: (sheet: RunSheet) => string;
  readonly kind: OwnKind;
}

const forms: Readonly<Record<string, SheetForm>> = {
  txt: form(renderSheetText, /^RUN SHEET {3}[\s\S]*\n\nBEFORE ANYTHING PLAYS\n/),
  md: form(renderSheetMarkdown, /^# Run sheet: .*\n\n## Before anything plays\n/),
  html: form(renderSheetHtml, /^<!doctype html>\n[\s\S]*\n<title>Run sheet: /),
};

function form(render: SheetForm["render"], beginning: RegExp): SheetForm {
  const isOwn = (head: Buffer) => beginning.test(head.toString("utf8"));
  return { render, kind: { what: "run sheet", isOwn } };
}

/**
 * How a run sheet is written into a file, by the ending of its name.
 *
 * @throws DeskroundError `usage` for another ending
 */
export function getSheetFormat(file: string): SheetForm {
  const ending = /\.([a-z]+)$/i.exec(file)?.[1]?.toLowerCase() ?? "";
  const found = Object.hasOwn(forms, ending) ? forms[ending] : undefined;
  if (found !== undefined) return found;
  throw new DeskroundError(
    "usage",
    `"${file}" does not say what form the run sheet has.`,
    "Let the name end in .txt, .md or .html, as in --sheet run-sheet.html",
  );
}
