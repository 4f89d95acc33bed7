/** By what a page of this program is known when it is found on a disk. */
export const pageMark = '<meta name="generator" content="deskround">';

/** By what a plot is. */
export const plotMark = "<!-- deskround -->";
