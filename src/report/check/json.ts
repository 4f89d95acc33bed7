import { layOut } from "../../history/layout.js";
import type { RenderCheck } from "./format.js";

/** The check as it is, laid out like the files on disk. */
export const renderJson: RenderCheck = (check) => layOut(check);
