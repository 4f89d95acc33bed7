import type { Relation } from "./types.js";

/** Comparisons by the parser's names. */
export const relations: Readonly<Record<string, Relation>> = {
  smallerEq: "<=",
  smaller: "<",
  largerEq: ">=",
  larger: ">",
  equal: "==",
};

/** The comparison with its sides swapped. */
export const turned: Readonly<Record<Relation, Relation>> = {
  "<=": ">=",
  "<": ">",
  ">=": "<=",
  ">": "<",
  "==": "==",
};
