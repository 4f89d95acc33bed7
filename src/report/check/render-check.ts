import type { ReportStyle } from "../style.js";
import type { WordedCheck } from "./word-check.js";

/**
 * A way out for the result of a check: one file each in this folder.
 *
 * @param style what the way out allows; those for machines take no notice of it
 * @returns the whole text, its last line ended
 */
export type RenderCheck = (check: WordedCheck, style: ReportStyle) => string;
