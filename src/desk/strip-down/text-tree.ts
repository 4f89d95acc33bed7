import { isMap, isScalar, isSeq } from "yaml";
import type { DeskFileIssue, Place } from "../read/fault.js";

/** Contents of a file with every value as written: `01` stays 01. */
export type TextTree = string | null | readonly TextTree[] | TextBlock;
export interface TextBlock {
  readonly [key: string]: TextTree;
}

/** Whether a value is an indented block, not a text or list. */
export function isBlock(tree: TextTree | undefined): tree is TextBlock {
  return typeof tree === "object" && tree !== null && !Array.isArray(tree);
}

/**
 * The values under a YAML node as texts.
 *
 * @param faults receives values that are neither text, list nor block, such as aliases
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
