import type { ReportStyle } from "../style.js";
import type { WordedCheck } from "./word-check.js";

/**
 * Renders the result of a check in one format; each has a file in this folder.
 *
 * @param style width and colours; formats for programs ignore it
 * @returns the whole text, with a line break at its end
 */
export type RenderCheck = (check: WordedCheck, style: ReportStyle) => string;
