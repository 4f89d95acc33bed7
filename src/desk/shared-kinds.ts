/** What a part that strips share is, as far as it matters for what it can do to them. */
export type StripPartKind = "supply" | "ribbon" | "group" | "bank";

export const stripPartKinds: readonly StripPartKind[] = ["supply", "ribbon", "group", "bank"];

const words: readonly (readonly [StripPartKind, RegExp])[] = [
  ["supply", /\b(supply|supplies|feed|psu|rails?|regulator|fuse)\b/i],
  ["ribbon", /\b(ribbon|cable|loom|connector)\b/i],
  ["group", /\b(group|subgroup|bus|buss)\b/i],
];

/** The kind of a part by the words of the trade in its name; a bank of strips where there are none. */
export function getStripPartKind(name: string): StripPartKind {
  return words.find(([, pattern]) => pattern.test(name))?.[0] ?? "bank";
}
