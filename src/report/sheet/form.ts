import type { OwnKind } from "../../assert-own-file.js";
import { DeskroundError } from "../../errors.js";
import type { PassSheet } from "../../service/pass-sheet.js";
import type { RunSheet } from "../../service/run-sheet.js";
import { renderSheetHtml } from "./html.js";
import { renderSheetMarkdown } from "./markdown.js";
import { renderPassSheetHtml } from "./pass-html.js";
import { renderPassSheetMarkdown } from "./pass-markdown.js";
import { renderPassSheetText } from "./pass-text.js";
import { renderSheetText } from "./text.js";

/** A format of the run sheet: how it is written, and how its files are recognised. */
export interface SheetForm {
  readonly render: (sheet: RunSheet) => string;
  /** The same for passes. */
  readonly renderPasses: (sheet: PassSheet) => string;
  readonly kind: OwnKind;
}

const forms: Readonly<Record<string, SheetForm>> = {
  txt: form(
    renderSheetText,
    renderPassSheetText,
    /^RUN SHEET {3}[\s\S]*\n\nBEFORE ANYTHING PLAYS\n/,
  ),
  md: form(
    renderSheetMarkdown,
    renderPassSheetMarkdown,
    /^# Run sheet: .*\n\n## Before anything plays\n/,
  ),
  html: form(renderSheetHtml, renderPassSheetHtml, /^<!doctype html>\n[\s\S]*\n<title>Run sheet: /),
};

function form(
  render: SheetForm["render"],
  renderPasses: SheetForm["renderPasses"],
  beginning: RegExp,
): SheetForm {
  const isOwn = (head: Buffer) => beginning.test(head.toString("utf8"));
  return { render, renderPasses, kind: { what: "run sheet", isOwn } };
}

/**
 * How to write a run sheet to a file, by the extension of its name.
 *
 * @throws DeskroundError `usage` for another extension
 */
export function getSheetFormat(file: string): SheetForm {
  const ending = /\.([a-z]+)$/i.exec(file)?.[1]?.toLowerCase() ?? "";
  const found = Object.hasOwn(forms, ending) ? forms[ending] : undefined;
  if (found !== undefined) return found;
  throw new DeskroundError(
    "usage",
    `"${file}" does not say which format the run sheet should have.`,
    "Use a name that ends in .txt, .md or .html, for example --sheet run-sheet.html",
  );
}
