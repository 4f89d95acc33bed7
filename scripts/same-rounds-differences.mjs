/** Where two JSON values differ, for `same-rounds.mjs`. */

/** What says which program made a result, not what it measured. */
const ignored = /(^|\.)tool\.version$/;

/**
 * Compares two values that were read from JSON.
 *
 * @param {unknown} before
 * @param {unknown} after
 * @returns {{ compared: number, changed: string[], added: string[], reworded: string[] }} how many
 *   values stand in both; lines on values that changed or went; keys that are new, with every index
 *   left open; lines on sentences (texts with a space) that changed
 * @example
 * findDifferences({ a: 1 }, { a: 2, b: 3 }); // changed: ["a: 1 → 2"], added: ["b"]
 */
export function findDifferences(before, after) {
  const found = { compared: 0, changed: [], added: [], reworded: [] };
  walk(before, after, "", found);
  return found;
}

function walk(before, after, at, found) {
  if (ignored.test(at)) return;
  if (isObject(before) && isObject(after)) {
    for (const key of Object.keys(before)) {
      walk(before[key], after[key], at === "" ? key : `${at}.${key}`, found);
    }
    for (const key of Object.keys(after)) {
      if (!(key in before)) found.added.push(`${open(at)}${at === "" ? "" : "."}${key}`);
    }
    return;
  }
  if (Array.isArray(before) && Array.isArray(after)) {
    if (before.length !== after.length) {
      found.changed.push(`${at}: ${before.length} entries → ${after.length}`);
    }
    const n = Math.min(before.length, after.length);
    for (let i = 0; i < n; i++) walk(before[i], after[i], `${at}[${label(before[i], i)}]`, found);
    return;
  }
  found.compared++;
  if (Object.is(before, after)) return;
  const line = `${at}: ${shown(before)} → ${shown(after)}${distance(before, after)}`;
  const worded = [before, after].every((value) => typeof value === "string" && value.includes(" "));
  (worded ? found.reworded : found.changed).push(line);
}

const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** Paths of a desk are named, all other entries counted. */
const label = (entry, i) => (isObject(entry) && typeof entry.path === "string" ? entry.path : i);

/** The place with its indices left open, so that one key counts once. */
const open = (at) => at.replaceAll(/\[[^\]]*\]/g, "[]");

const shown = (value) => {
  const text = value === undefined ? "nothing" : JSON.stringify(value);
  return text.length > 160 ? `${text.slice(0, 160)}…` : text;
};

function distance(a, b) {
  if (typeof a !== "number" || typeof b !== "number") return "";
  return ` (${(Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b))).toExponential(1)} of it)`;
}
