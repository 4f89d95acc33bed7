import { type Document, isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap } from "yaml";
import { DeskroundError } from "../../errors.js";
import type { DeskFileIssue, Place } from "./fault.js";

/** Faults without a line come after all others. */
const unplaced = Number.MAX_SAFE_INTEGER;

/** Hint for faults whose message is sufficient. */
const mendIt = "Change that in the file, then run the same command again.";

/** The first fault in the file, as an error. */
export function findFirstFault(
  faults: readonly DeskFileIssue[],
  doc: Document.Parsed,
  lineAt: (offset: number) => number,
  file: string,
): DeskroundError {
  const placed = faults
    .map((fault) => ({ ...fault, line: findLine(fault, doc, lineAt) }))
    .sort((a, b) => (a.line ?? unplaced) - (b.line ?? unplaced));
  const [first] = placed;
  const where = first?.line === undefined ? file : `${file} line ${first.line}`;
  const more = faults.length > 1 ? `${faults.length} faults in the file, this is the first.` : "";
  const hint = [first?.hint ?? "", more].filter((part) => part !== "").join(" ");
  return new DeskroundError("desk-file", `${where}: ${first?.message}`, hint || mendIt);
}

/** Line of a fault; for a missing key, that of the nearest enclosing block. */
function findLine(
  fault: DeskFileIssue,
  doc: Document.Parsed,
  lineAt: (offset: number) => number,
): number | undefined {
  for (let depth = fault.place.length; depth > 0; depth--) {
    const place = fault.place.slice(0, depth);
    const node =
      fault.at === "value" && depth === fault.place.length ? findValue(place, doc) : undefined;
    const range = (node ?? findKey(place, doc))?.range;
    if (range) return lineAt(range[0]);
  }
  return undefined;
}

function findValue(place: Place, doc: Document.Parsed): Node | undefined {
  const node = findNode(place, doc);
  // An empty value ends where it begins, on the line after its key.
  return node?.range && node.range[0] !== node.range[1] ? node : undefined;
}

function findKey(place: Place, doc: Document.Parsed): Node | undefined {
  const parent = findNode(place.slice(0, -1), doc);
  return isMap(parent) ? (findPair(parent, place.at(-1))?.key as Node | undefined) : undefined;
}

function findNode(place: Place, doc: Document.Parsed): Node | undefined {
  return place.reduce<Node | undefined>((node, step) => {
    if (isMap(node)) return findPair(node, step)?.value as Node | undefined;
    return isSeq(node) ? (node.items[Number(step)] as Node | undefined) : undefined;
  }, doc.contents ?? undefined);
}

/** Pairs by key: searching a long block for each of many faults would take minutes. */
const pairsOf = new WeakMap<YAMLMap, ReadonlyMap<string, Pair>>();

function findPair(map: YAMLMap, key: PropertyKey | undefined): Pair | undefined {
  let pairs = pairsOf.get(map);
  if (pairs === undefined) {
    pairs = new Map(
      map.items.flatMap((pair): [string, Pair][] =>
        isScalar(pair.key) ? [[String(pair.key.value), pair]] : [],
      ),
    );
    pairsOf.set(map, pairs);
  }
  return pairs.get(String(key));
}
