import { isAlias, isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap } from "yaml";
import { validateLine } from "../../desk/names.js";
import { findClosestWord } from "../../desk/paths.js";
import { DeskroundError } from "../../errors.js";
import { collapseSpace } from "../../text/collapse-space.js";
import type { TextFile } from "../../text-file.js";
import { parseYaml } from "../../yaml-file.js";
import { builtInNames, listBuiltInLimits } from "./built-in.js";
import type { Limit } from "./types.js";

/** A limits file, for messages. */
export const limitsFile: TextFile = {
  code: "limits-file",
  what: "limits file",
  without: "Name another with --limits; without one the built-in limits apply.",
};

/** More than anyone writes by hand; bounds the work of a check. */
const mostLimits = 200;
const longestName = 40;
const longestWhy = 200;
const namePattern = /^\p{L}[\p{L}\p{N}\p{M}._-]*$/u;

/**
 * Parses limits: the built-in ones and those of the text, which may replace built-in ones by name.
 *
 * @param file for messages
 * @param baseline whether a baseline round was named
 * @throws DeskroundError `limits-file`, naming file and line
 */
export function parseLimits(
  text: string,
  file: string,
  baseline: "named" | "none",
): readonly Limit[] {
  const { doc, lineAt } = parseYaml(text, file, limitsFile.code);
  const source: Source = { file, lineAt };
  if (!isMap(doc.contents)) {
    throw new DeskroundError(
      limitsFile.code,
      doc.contents === null
        ? `${file} is empty.`
        : `${file} line 1: not a limits file: it should begin with "limits:".`,
      "A limit is a line such as   quiet: noiseA <= -82 dBu   under limits:.",
    );
  }
  const top = entriesOf(doc.contents, source, ["version", "built-in", "limits"]);
  const version = top.get("version");
  if (version !== undefined && plainText(version.value, source) !== "1") {
    refuse(source, version.value, "this version of the limits file is unknown; allowed: 1.");
  }
  const kept = keptBuiltIns(top.get("built-in"), source, baseline);
  const limits = top.get("limits");
  if (limits === undefined || isEmpty(limits.value)) {
    return limitsOrNone(kept, file);
  }
  return limitsOrNone(merged(kept, blockOf(limits, source), source, baseline), file);
}

function limitsOrNone(limits: readonly Limit[], file: string): readonly Limit[] {
  if (limits.length > 0) return limits;
  throw new DeskroundError(
    limitsFile.code,
    `${file} leaves no limit at all: everything would pass.`,
    "Write a limit under limits:, or leave `built-in: none` out.",
  );
}

/** The file that is being read. */
interface Source {
  readonly file: string;
  readonly lineAt: (offset: number) => number;
}

function whereIs({ file, lineAt }: Source, node: Node | null | undefined): string {
  return node?.range ? `${file} line ${lineAt(node.range[0])}` : file;
}

function refuse(
  source: Source,
  node: Node | null | undefined,
  message: string,
  hint?: string,
): never {
  throw new DeskroundError(limitsFile.code, `${whereIs(source, node)}: ${message}`, hint);
}

interface Entry {
  readonly key: Node;
  readonly value: Node | null;
}

/** The entries of a block by key. @param allowed keys; any when absent */
function entriesOf(
  map: YAMLMap,
  source: Source,
  allowed?: readonly string[],
): ReadonlyMap<string, Entry> {
  const entries = new Map<string, Entry>();
  for (const pair of map.items as readonly Pair<Node, Node | null>[]) {
    const key = plainText(pair.key, source);
    if (allowed !== undefined && !allowed.includes(key)) {
      const like = findClosestWord(key, allowed);
      refuse(
        source,
        pair.key,
        `"${key}" is not a key here.`,
        like === undefined ? `Keys here: ${allowed.join(", ")}.` : `Did you mean ${like}?`,
      );
    }
    entries.set(key, { key: pair.key, value: pair.value });
  }
  return entries;
}

/** A value of the file as written: `01` stays 01. */
function plainText(node: Node | null | undefined, source: Source): string {
  if (isScalar(node)) return (node.source ?? String(node.value ?? "")).trim();
  if (isAlias(node)) refuse(source, node, "anchors and aliases are not understood here.");
  return refuse(source, node, "one text is expected here.");
}

function isEmpty(node: Node | null): boolean {
  return node === null || (isScalar(node) && node.value === null);
}

function blockOf({ key, value }: Entry, source: Source): YAMLMap {
  if (isMap(value)) return value;
  return refuse(
    source,
    value ?? key,
    "limits: should hold one indented line for each limit, with a name before it.",
    "For example   quiet: noiseA <= -82 dBu",
  );
}

function keptBuiltIns(
  entry: Entry | undefined,
  source: Source,
  baseline: "named" | "none",
): readonly Limit[] {
  const choice = entry === undefined ? "keep" : plainText(entry.value ?? entry.key, source);
  if (choice === "keep") return listBuiltInLimits(baseline);
  if (choice === "none") return [];
  return refuse(source, entry?.value, `"built-in" is "${choice}"; allowed: keep, none.`);
}

/** The built-in limits, replaced or followed by those of the file. */
function merged(
  kept: readonly Limit[],
  block: YAMLMap,
  source: Source,
  baseline: "named" | "none",
): readonly Limit[] {
  const limits = new Map(kept.map((limit) => [limit.name, limit]));
  const all = new Map(listBuiltInLimits(baseline).map((limit) => [limit.name, limit]));
  for (const [name, entry] of entriesOf(block, source)) {
    if (name.length > longestName || !namePattern.test(name)) {
      refuse(
        source,
        entry.key,
        `"${name}" is not a usable name for a limit.`,
        `Start with a letter; then letters, digits and . _ -; ${longestName} at most.`,
      );
    }
    const limit = limitOf(name, entry, all.get(name), source);
    if (limit === "off") limits.delete(name);
    else if (limit !== undefined) limits.set(name, limit);
  }
  if (limits.size > mostLimits) {
    refuse(source, block, `${limits.size} limits are more than the ${mostLimits} allowed.`);
  }
  return [...limits.values()];
}

/** @returns undefined for a change to a built-in limit that this check does not use */
function limitOf(
  name: string,
  entry: Entry,
  builtIn: Limit | undefined,
  source: Source,
): Limit | "off" | undefined {
  const { key, value } = entry;
  if (value !== null && isScalar(value) && !isEmpty(value)) {
    const text = String(value.value);
    if (text === "off" || text === "false") return switchedOff(name, key, source);
    return { name, text, from: "file", where: whereIs(source, value) };
  }
  if (!isMap(value)) {
    return refuse(
      source,
      value ?? key,
      `"${name}" has no limit.`,
      isSeq(value)
        ? "Each limit has a name and a line of its own, for example   quiet: noiseA <= -82 dBu"
        : "For example   quiet: noiseA <= -82 dBu",
    );
  }
  const parts = entriesOf(value, source, ["limit", "for", "except", "why"]);
  const written = parts.get("limit");
  if (written === undefined && builtIn === undefined) {
    if (builtInNames.includes(name)) return undefined;
    refuse(
      source,
      key,
      `"${name}" has no "limit" line, and no built-in limit has that name.`,
      likeBuiltIn(name),
    );
  }
  const text = written === undefined ? (builtIn?.text ?? "") : textOf(written, source);
  const why = parts.get("why");
  const [only, except] = [parts.get("for"), parts.get("except")];
  const reason =
    why === undefined ? (written === undefined ? builtIn?.why : undefined) : whyOf(why, source);
  return {
    name,
    text,
    from: written === undefined ? "built-in" : "file",
    where: whereIs(source, written?.value ?? key),
    ...(reason === undefined ? {} : { why: reason }),
    ...(only === undefined ? {} : { only: listOf(only, source) }),
    ...(except === undefined ? {} : { except: listOf(except, source) }),
  };
}

function switchedOff(name: string, key: Node, source: Source): "off" {
  if (builtInNames.includes(name)) return "off";
  return refuse(
    source,
    key,
    `"${name}" is off, but no built-in limit has that name.`,
    likeBuiltIn(name),
  );
}

function likeBuiltIn(name: string): string {
  const like = findClosestWord(name, builtInNames);
  return like === undefined
    ? `Built-in limits: ${builtInNames.join(", ")}.`
    : `Did you mean ${like}?`;
}

/** A quoted text without its quotes. */
function textOf({ key, value }: Entry, source: Source): string {
  if (isScalar(value) && !isEmpty(value)) return String(value.value);
  return refuse(
    source,
    value ?? key,
    "one comparison is expected here.",
    "For example noiseA <= -82 dBu",
  );
}

function whyOf(entry: Entry, source: Source): string {
  const why = collapseSpace(textOf(entry, source));
  const fault = validateLine(why, longestWhy);
  if (fault !== undefined) refuse(source, entry.value, `"why" ${fault}.`);
  return why;
}

/** Names in a list, or separated by commas. */
function listOf({ key, value }: Entry, source: Source): readonly string[] {
  const texts = isSeq(value)
    ? value.items.map((item) => plainText(item as Node, source))
    : plainText(value ?? key, source).split(",");
  const names = texts.map((text) => text.trim()).filter((text) => text !== "");
  if (names.length === 0) refuse(source, value ?? key, "no path is named here.");
  return names;
}
