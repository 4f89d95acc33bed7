import { formatJson } from "../../history/format-json.js";
import type { RenderCheck } from "./render-check.js";

/** The check as it is, laid out like the files on disk. */
export const renderJson: RenderCheck = (check) => formatJson(check);
