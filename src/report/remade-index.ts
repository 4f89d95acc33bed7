import { formatCount } from "../text/format-count.js";

/** Says that entries of the index of rounds were damaged and rebuilt; empty if none were. */
export function formatRemadeIndex(remade: number): readonly string[] {
  return remade === 0
    ? []
    : [
        `The index of ${formatCount(remade, "round")} was damaged and was rebuilt from the rounds, which are untouched.`,
      ];
}
