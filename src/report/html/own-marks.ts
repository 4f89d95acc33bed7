import type { OwnKind } from "../../assert-own-file.js";

/** By what a page of this program is known when it is found on a disk. */
export const pageMark = '<meta name="generator" content="deskround">';

/** By what a plot is. */
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
