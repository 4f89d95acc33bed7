import { formatCount } from "../text/format-count.js";

/** That entries of the index of rounds were damaged and made again; nothing where none was. */
export function formatRemadeIndex(remade: number): readonly string[] {
  return remade === 0
    ? []
    : [
        `The index of ${formatCount(remade, "round")} was damaged and was made again from the rounds, which are untouched.`,
      ];
}
