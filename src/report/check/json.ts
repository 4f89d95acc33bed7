import { formatJson } from "../../history/format-json.js";
import type { RenderCheck } from "./render-check.js";

/** The check as data, laid out like the files on disk. */
export const renderJson: RenderCheck = (check) => formatJson(check);
