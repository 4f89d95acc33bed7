/** Kinds of parts that strips share, by their effects on them. */
export const stripPartKinds = ["supply", "ribbon", "group", "bus", "bank"] as const;

export type StripPartKind = (typeof stripPartKinds)[number];

const words: readonly (readonly [StripPartKind, RegExp])[] = [
  ["supply", /\b(supply|supplies|feed|psu|rails?|regulator|fuse)\b/i],
  ["ribbon", /\b(ribbon|cable|loom|connector)\b/i],
  ["group", /\b(group|subgroup|bus|buss)\b/i],
];

/** The kind of a part by usual words in its name; a bank of strips if there are none. */
export function getStripPartKind(name: string): StripPartKind {
  return words.find(([, pattern]) => pattern.test(name))?.[0] ?? "bank";
}
