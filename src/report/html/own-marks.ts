import type { OwnKind } from "../../assert-own-file.js";

/** Marks a page as made by this program, so that it is recognised on disk. */
export const pageMark = '<meta name="generator" content="deskround">';

/** The same for a plot. */
export const plotMark = "<!-- deskround -->";

/** Pages that `report` wrote. */
export const pageKind: OwnKind = {
  what: "report",
  isOwn: (head) => /^<!doctype html>/i.test(head.toString("utf8")) && head.includes(pageMark),
};

/** Plots that `report` wrote. */
export const plotKind: OwnKind = {
  what: "plot",
  isOwn: (head) => /^<svg /.test(head.toString("utf8")) && head.includes(plotMark),
};
