import { isDeepStrictEqual } from "node:util";
import type { OutsideItem } from "./types.js";

/** Kinds of items about a control, not about a plug or recording of one path. */
const ofControls: ReadonlySet<OutsideItem["kind"]> = new Set(["setting", "try first"]);

/**
 * Merges questions about one control: a setting shown by all inputs of a strip is checked once.
 * Checks chosen for one path by their usefulness there are not merged.
 *
 * @param outside in order
 *
 * @returns the same, with a question of several inputs under its strip and with `paths`
 */
export function mergeQuestions(outside: readonly OutsideItem[]): readonly OutsideItem[] {
  const merged: OutsideItem[] = [];
  for (const one of outside) {
    const at = merged.findIndex((other) => isSameQuestion(other, one));
    if (at < 0) {
      merged.push(one);
      continue;
    }
    const first = merged[at];
    const paths = [...(first.paths ?? [first.place]), one.place];
    merged[at] = { ...first, place: stripOf(one), paths: [...new Set(paths)] };
  }
  return merged;
}

function isSameQuestion(a: OutsideItem, b: OutsideItem): boolean {
  return (
    ofControls.has(b.kind) &&
    a.kind === b.kind &&
    isDeepStrictEqual(a.name, b.name) &&
    isDeepStrictEqual(a.todo, b.todo) &&
    a.next === undefined &&
    b.next === undefined &&
    b.place.includes("/") &&
    stripOf(a) === stripOf(b)
  );
}

function stripOf({ place }: OutsideItem): string {
  return place.split("/")[0];
}
