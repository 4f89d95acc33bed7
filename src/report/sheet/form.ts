import { DeskroundError } from "../../errors.js";
import type { RunSheet } from "../../service/run-sheet.js";
import { renderSheetHtml } from "./html.js";
import { renderSheetMarkdown } from "./markdown.js";
import { renderSheetText } from "./text.js";

type RenderSheet = (sheet: RunSheet) => string;

const forms: Readonly<Record<string, RenderSheet>> = {
  txt: renderSheetText,
  md: renderSheetMarkdown,
  html: renderSheetHtml,
};

/**
 * How a run sheet is written into a file, by the ending of its name.
 *
 * @throws DeskroundError `usage` for another ending
 */
export function getSheetFormat(file: string): RenderSheet {
  const ending = /\.([a-z]+)$/i.exec(file)?.[1]?.toLowerCase() ?? "";
  const form = Object.hasOwn(forms, ending) ? forms[ending] : undefined;
  if (form !== undefined) return form;
  throw new DeskroundError(
    "usage",
    `"${file}" does not say what form the run sheet has.`,
    "Let the name end in .txt, .md or .html, as in --sheet run-sheet.html",
  );
}
