import { colours } from "./colours.js";
import { layout } from "./layout.js";
import { plots } from "./plots.js";
import { print } from "./print.js";
import { type } from "./type.js";

/** The style sheet of a page. */
export const pageStyle = [colours, type, layout, plots, print].join("");
