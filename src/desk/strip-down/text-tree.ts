import { isMap, isScalar, isSeq } from "yaml";
import type { DeskFileIssue, Place } from "../read/fault.js";

/** What stands in a file, every value as it was written: `01` stays 01. */
export type TextTree = string | null | readonly TextTree[] | TextBlock;
export interface TextBlock {
  readonly [key: string]: TextTree;
}

/** Whether a value is an indented block, and no text or list. */
export function isBlock(tree: TextTree | undefined): tree is TextBlock {
  return typeof tree === "object" && tree !== null && !Array.isArray(tree);
}

/**
 * The values under a YAML node as texts.
 *
 * @param faults takes what is neither text, list nor block, such as an alias
 */
export function toTextTree(node: unknown, place: Place, faults: DeskFileIssue[]): TextTree {
  if (node === null || node === undefined) return null;
  if (isScalar(node)) {
    if (node.value === null) return null;
    return node.type === "PLAIN" && node.source !== undefined ? node.source : String(node.value);
  }
  if (isSeq(node)) return node.items.map((item, k) => toTextTree(item, [...place, k], faults));
  if (isMap(node)) {
    return Object.fromEntries(
      node.items.map(({ key, value }) => {
        const name = isScalar(key) ? String(key.source ?? key.value) : "";
        return [name, toTextTree(value, [...place, name], faults)];
      }),
    );
  }
  faults.push({ place, at: "key", message: "anchors and aliases are not understood here." });
  return null;
}
