import { type Document, isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap } from "yaml";
import type * as z from "zod";
import { DeskroundError } from "../errors.js";
import { parseYaml, readTextFile, type TextFile } from "../yaml-file.js";
import { parseCapturePatterns } from "./capture-patterns.js";
import { parseChannelList } from "./channels.js";
import { type Construction, type DeskAge, defaultConstruction } from "./construction.js";
import { defaultControls, maxControls, maxSettingLength, validateControlName } from "./controls.js";
import { getDeskFile } from "./desk-file.js";
import { type Expectations, expectationForms, parseExpectations } from "./expectations.js";
import { buildDefaultFlow } from "./flow.js";
import { normalizeName, validateInputName, validateLine } from "./names.js";
import { applyPads } from "./pads.js";
import { findClosestWord, listDeskPaths } from "./paths.js";
import { type DeskText, deskSchema, formatAllowedKeys, listKeys } from "./schema.js";
import { expandStrips, parseCountOrStrips, type StripList } from "./strips.js";
import type { Desk, DeskControl, DeskFlow, DeskPath, NamePattern, SharedStrips } from "./types.js";

const deskFileKind: TextFile = {
  code: "desk-file",
  what: "desk file",
  without: "Name the desk's folder with --desk, or write a desk file with `deskround init`.",
};
const longestName = 60;
const longestSetup = 400;
const longestPlug = 60;

type Place = readonly PropertyKey[];

/** Something wrong in the file. */
interface Fault {
  readonly place: Place;
  /** Whether the key or what it holds is at fault. */
  readonly at: "key" | "value";
  readonly message: string;
  readonly hint?: string | undefined;
}

/**
 * Reads and checks the desk file.
 *
 * @param folderOrFile the desk's folder, or the file itself
 * @returns the desk, its paths in run-sheet order
 * @throws DeskroundError `desk-file`, naming file and line, what is wrong and what is allowed
 */
export function readDesk(folderOrFile: string): Desk {
  const file = getDeskFile(folderOrFile);
  return parseDesk(readTextFile(file, deskFileKind), file);
}

/** The same for a text already at hand; `file` is for messages. */
export function parseDesk(text: string, file: string): Desk {
  const { doc, lineAt } = parseYaml(text, file, deskFileKind.code);
  if (!isMap(doc.contents)) {
    throw new DeskroundError(
      "desk-file",
      doc.contents === null
        ? `${file} is empty.`
        : `${file} line 1: not a desk file: it should hold lines such as "mains: 50".`,
      "`deskround init` writes a desk file to start from.",
    );
  }
  keepNamesAsWritten(doc.contents);
  const faults: Fault[] = [];
  const desk = check(plain(doc, file), faults);
  if (desk !== undefined && faults.length === 0) return desk;
  throw firstFault(faults, doc, lineAt, file);
}

/**
 * YAML reads 01, 3.10 and 1e3 as numbers; as names of strips, and as marks that a control is set to,
 * they are what was written.
 */
function keepNamesAsWritten(desk: YAMLMap): void {
  for (const place of [
    ["construction", "parts"],
    ["construction", "values"],
    ["age", "recapped"],
    ["flow", "shared"],
  ]) {
    const block = desk.getIn(place, true);
    if (!isMap(block)) continue;
    for (const { value } of block.items) keepText(isMap(value) ? value.get("strips", true) : value);
  }
  keepText(desk.get("strips", true));
  keepText(desk.get("channels", true));
  keepText(desk.get("captures", true));
  const inputs = desk.get("inputs", true);
  if (isMap(inputs)) {
    for (const { value } of inputs.items) {
      if (!isMap(value)) continue;
      keepText(value.get("strips", true));
      const set = value.get("set", true);
      if (isMap(set)) for (const pair of set.items) keepText(pair.value);
    }
  }
  const controls = desk.get("controls", true);
  if (isMap(controls)) {
    for (const { value } of controls.items) if (isMap(value)) keepText(value.get("set", true));
  }
  const families = desk.get("families", true);
  if (isMap(families)) for (const { value } of families.items) keepText(value);
}

function keepText(node: unknown): void {
  if (isSeq(node)) for (const item of node.items) keepText(item);
  if (isMap(node)) for (const { value } of node.items) keepText(value);
  if (isScalar(node) && node.source !== undefined && node.source !== "") node.value = node.source;
}

function plain(doc: Document.Parsed, file: string): unknown {
  try {
    return doc.toJS();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new DeskroundError(
      "desk-file",
      `${file}: not readable as YAML: ${reason}.`,
      "Anchors (&) and aliases (*) are not needed here; put such a text in quotes.",
      error,
    );
  }
}

function check(data: unknown, faults: Fault[]): Desk | undefined {
  const result = deskSchema.safeParse(data);
  if (result.success) return build(result.data, faults);
  const { issues } = result.error;
  const strangers = issues.flatMap(strangerFaults);
  const others = issues.flatMap((issue) => valueFaults(issue, data));
  // A mistyped key is one fault, not also the absence of the key that was meant.
  const meant = new Set(strangers.map(({ meantPlace }) => meantPlace));
  faults.push(...strangers, ...others.filter((fault) => !meant.has(fault.place.join("\n"))));
  return undefined;
}

/** Keys that do not belong where they stand. */
function strangerFaults(issue: z.core.$ZodIssue): (Fault & { readonly meantPlace: string })[] {
  if (issue.code !== "unrecognized_keys") return [];
  const known = listKeys(issue.path);
  return issue.keys.map((key) => ({
    place: [...issue.path, key],
    at: "key",
    message: `"${key}" is not a key that belongs here.`,
    hint: didYouMean(key, known) ?? `Keys that belong here: ${known.join(", ")}.`,
    meantPlace: [...issue.path, findClosestWord(key, known)].join("\n"),
  }));
}

/** Values that are missing or not what is allowed. */
function valueFaults(issue: z.core.$ZodIssue, data: unknown): Fault[] {
  if (issue.code === "unrecognized_keys") return [];
  const place = issue.path;
  const key = String(place.at(-1) ?? "");
  const allowed = formatAllowedKeys(place);
  const value = place.reduce<unknown>((at, step) => Object(at)[step], data);
  if (value === undefined) {
    return [{ place, at: "key", message: `"${key}" is missing.`, hint: `Allowed: ${allowed}.` }];
  }
  const like =
    issue.code === "invalid_value" && typeof value === "string"
      ? didYouMean(value, issue.values.map(String))
      : undefined;
  const message = `"${key}" ${isWhat(value)}; allowed: ${allowed}.`;
  return [{ place, at: "value", message, hint: like }];
}

function isWhat(value: unknown): string {
  if (value === null) return "is left empty";
  if (Array.isArray(value)) return "is a list";
  if (typeof value === "object") return "is a block";
  return `is ${JSON.stringify(value)}`;
}

function didYouMean(word: string, choices: readonly string[]): string | undefined {
  const like = findClosestWord(word, choices);
  return like === undefined ? undefined : `Did you mean ${like}?`;
}

/** The desk that the text describes; what contradicts itself goes to `faults`. */
function build(text: DeskText, faults: Fault[]): Desk {
  const name = oneLine(text.name, longestName, ["name"], faults);
  if (name === "") {
    faults.push({ place: ["name"], at: "value", message: `"name" is left empty.` });
  }
  const strips = deskStrips(text.strips, faults);
  const controls = deskControls(text.controls, faults);
  const inputs = Object.entries(text.inputs).map(([input, written]) => {
    const { nominal, setup, source, strips: some, set, plug, pad } = written;
    const place = ["inputs", input];
    nameFaultAt(place, faults);
    const own =
      some === undefined ? {} : { strips: someStrips(some, strips, [...place, "strips"], faults) };
    return {
      name: input.normalize("NFC"),
      nominalDbu: nominal,
      setup: oneLine(setup, longestSetup, [...place, "setup"], faults),
      ...(source === undefined ? {} : { sourceOhm: source }),
      ...(plug === undefined
        ? {}
        : { plug: oneLine(plug, longestPlug, [...place, "plug"], faults) }),
      ...(pad === undefined ? {} : { padDb: pad }),
      set: inputSettings(set, controls, place, faults),
      ...own,
    };
  });
  inputs.forEach(({ name: input }, i) => {
    const earlier = inputs
      .slice(0, i)
      .find((other) => normalizeName(other.name) === normalizeName(input));
    if (earlier === undefined) return;
    const message = `inputs ${earlier.name} and ${input} differ only in capitals.`;
    faults.push({ place: ["inputs", input], at: "key", message });
  });
  if (inputs.length === 0) {
    faults.push({ place: ["inputs"], at: "value", message: `"inputs" names no input.` });
  }
  const groups = stripGroups(text.families, strips, faults);
  const paths = listDeskPaths({
    strips,
    inputs: applyPads(inputs, text.reference),
    order: text.order,
    groups,
    controls,
  });
  const { captures, channels } = text;
  return {
    ...(text.id === undefined ? {} : { id: text.id }),
    name,
    mainsHz: text.mains,
    strips,
    inputs: inputs.map(({ strips: _, ...input }) => input),
    referenceDbu: text.reference,
    order: text.order,
    controls,
    flow: deskFlow(
      text.flow,
      inputs.map(({ name: input }) => input),
      strips,
      faults,
    ),
    ...(captures === undefined ? {} : { captures: namePatterns(captures, paths, faults) }),
    phantomV: text.phantom,
    ...(text.rails === undefined ? {} : { railsV: text.rails }),
    construction: deskConstruction(text.construction, strips, faults),
    ...(text.expectations === undefined
      ? {}
      : { expectations: deskExpectations(text.expectations, faults) }),
    ...(text.age === undefined ? {} : { age: deskAge(text.age, strips, faults) }),
    ...(channels === undefined ? {} : { channels: recorderChannels(channels, paths, faults) }),
    paths,
  };
}

function recorderChannels(
  written: DeskText["strips"],
  paths: readonly DeskPath[],
  faults: Fault[],
): readonly (readonly string[])[] {
  const place = ["channels"];
  const list = parseChannelList(typeof written === "string" ? written.split(",") : written, paths);
  for (const { item, fault } of list.faults) {
    const at = typeof written === "string" ? place : [...place, item];
    faults.push({ place: at, at: "value", message: `${fault}.` });
  }
  if (list.faults.length === 0 && list.channels.every((own) => own.length === 0)) {
    faults.push({ place, at: "value", message: `"channels" names no strip.` });
  }
  return list.channels;
}

function namePatterns(
  written: unknown,
  paths: readonly DeskPath[],
  faults: Fault[],
): readonly NamePattern[] {
  const list = parseCapturePatterns(written, paths, formatAllowedKeys(["captures"]));
  faults.push(...list.faults.map((one) => ({ ...one, place: ["captures", ...one.place] })));
  return list.patterns;
}

/** The controls of a strip; the usual ones where the file names none. */
function deskControls(written: DeskText["controls"], faults: Fault[]): readonly DeskControl[] {
  if (written === undefined) return defaultControls;
  const controls = Object.entries(written).map(([name, one]): DeskControl => {
    const place = ["controls", name];
    const fault = validateControlName(name);
    if (fault !== undefined) faults.push({ place, at: "key", message: `"${name}": ${fault}.` });
    if (typeof one === "string") return { name, kind: one };
    if (one.set === undefined) return { name, kind: one.kind };
    return { name, kind: one.kind, set: setting(one.set, [...place, "set"], faults) };
  });
  controls.forEach(({ name }, i) => {
    const earlier = controls
      .slice(0, i)
      .find((other) => normalizeName(other.name) === normalizeName(name));
    if (earlier === undefined) return;
    const message = `controls ${earlier.name} and ${name} differ only in capitals.`;
    faults.push({ place: ["controls", name], at: "key", message });
  });
  if (controls.length === 0) {
    const hint = "Leave the key out for the usual ones.";
    faults.push({ place: ["controls"], at: "value", message: '"controls" names none.', hint });
  }
  if (controls.length > maxControls) {
    const message = `${controls.length} controls are more than the ${maxControls} allowed.`;
    faults.push({ place: ["controls"], at: "value", message });
  }
  return controls;
}

/** How an input sets the controls, under the names that they have. */
function inputSettings(
  written: Readonly<Record<string, string>>,
  controls: readonly DeskControl[],
  input: readonly string[],
  faults: Fault[],
): Readonly<Record<string, string>> {
  const names = controls.map(({ name }) => name);
  const settings = Object.entries(written).map(([name, words]) => {
    const place = [...input, "set", name];
    const known = names.find((one) => normalizeName(one) === normalizeName(name));
    if (known === undefined) {
      const hint = didYouMean(name, names) ?? `Its controls: ${names.join(", ")}.`;
      faults.push({ place, at: "key", message: `a strip has no control "${name}".`, hint });
    }
    return [known ?? name, setting(words, place, faults)] as const;
  });
  return Object.fromEntries(settings);
}

function setting(words: string, place: Place, faults: Fault[]): string {
  const line = oneLine(words, maxSettingLength, place, faults);
  if (line === "") {
    faults.push({ place, at: "value", message: `"${String(place.at(-1))}" is left empty.` });
  }
  return line;
}

function deskStrips(written: DeskText["strips"], faults: Fault[]): readonly string[] {
  const place = ["strips"];
  const list = typeof written === "string" ? parseCountOrStrips(written) : expandStrips(written);
  const names = noted(list, written, place, faults);
  if (names.length === 0 && list.faults.length === 0) {
    faults.push({ place, at: "value", message: `"strips" names no strip.` });
  }
  return names;
}

/** Strips picked from those of the desk. */
function someStrips(
  written: DeskText["strips"],
  known: readonly string[],
  place: Place,
  faults: Fault[],
): readonly string[] {
  const list = expandStrips(typeof written === "string" ? written.split(",") : written);
  const names = noted(list, written, place, faults);
  for (const strip of names.filter((name) => !known.includes(name))) {
    faults.push({
      place,
      at: "value",
      message: `the desk has no strip ${strip}.`,
      hint: didYouMean(strip, known) ?? `Its strips run from ${known[0]} to ${known.at(-1)}.`,
    });
  }
  return names;
}

function noted(
  list: StripList,
  written: DeskText["strips"],
  place: Place,
  faults: Fault[],
): readonly string[] {
  for (const { item, fault } of list.faults) {
    const at = typeof written === "string" ? place : [...place, item];
    faults.push({ place: at, at: "value", message: `${fault}.` });
  }
  return list.names;
}

function stripGroups(
  families: DeskText["families"],
  known: readonly string[],
  faults: Fault[],
): ReadonlyMap<string, readonly string[]> {
  const groups = new Map<string, readonly string[]>();
  const owner = new Map<string, string>();
  for (const [group, written] of Object.entries(families)) {
    const place = ["families", group];
    nameFaultAt(place, faults);
    const strips = someStrips(written, known, place, faults);
    for (const strip of strips) {
      const earlier = owner.get(strip);
      if (earlier !== undefined) {
        faults.push({
          place,
          at: "value",
          message: `strip ${strip} stands in two families, ${earlier} and ${group}.`,
          hint: "A strip can have only one set of siblings: take it out of one of them.",
        });
      }
      owner.set(strip, group);
    }
    groups.set(group.normalize("NFC"), strips);
  }
  return groups;
}

/** What the file says of stages and shared parts; where it says nothing of stages, the usual. */
function deskFlow(
  { stages, shared }: DeskText["flow"],
  inputs: readonly string[],
  strips: readonly string[],
  faults: Fault[],
): DeskFlow {
  const usual = buildDefaultFlow(inputs);
  const written = Object.entries(stages).map(([name, list]) => {
    const place = ["flow", "stages", name];
    const input = inputs.find((one) => normalizeName(one) === normalizeName(name.normalize("NFC")));
    if (input === undefined) {
      const hint = didYouMean(name, inputs) ?? `Its inputs: ${inputs.join(", ")}.`;
      faults.push({ place, at: "key", message: `the desk has no input ${name}.`, hint });
    }
    const names = list.map((stage, i) => oneLine(stage, longestName, [...place, i], faults));
    return [input ?? name, names] as const;
  });
  const left = inputs.filter((input) => written.every(([name]) => name !== input));
  const strangers = written.some(([name]) => !inputs.includes(name));
  if (written.length > 0 && left.length > 0 && !strangers) {
    const message = `"stages" says nothing of ${left.join(", ")}.`;
    const hint = "Give the stages of every input, so that what they share is seen.";
    faults.push({ place: ["flow", "stages"], at: "key", message, hint });
  }
  const parts = Object.entries(shared).map(([name, { kind, strips: list }]): SharedStrips => {
    const place = ["flow", "shared", name];
    const part = oneLine(name, longestName, place, faults);
    const own = new Set(someStrips(list, strips, place, faults));
    // Taken twice, a strip would count twice.
    const known = strips.filter((strip) => own.has(strip));
    return { name: part, strips: known, ...(kind === undefined ? {} : { kind }) };
  });
  return { stages: { ...usual.stages, ...Object.fromEntries(written) }, shared: parts };
}

function deskConstruction(
  text: DeskText["construction"],
  strips: readonly string[],
  faults: Fault[],
): Construction {
  if (text === undefined) return defaultConstruction;
  const parts = Object.entries(text.parts).map(([name, { kind, minutes, strips: some }]) => {
    const place = ["construction", "parts", name];
    const own = new Set(
      some === undefined ? strips : someStrips(some, strips, [...place, "strips"], faults),
    );
    return {
      name: oneLine(name, longestName, place, faults),
      kind,
      minutes,
      strips: strips.filter((strip) => own.has(strip)),
    };
  });
  const values = Object.entries(text.values).map(([name, value]) => {
    const place = ["construction", "values", name];
    return [oneLine(name, longestName, place, faults), oneLine(value, longestName, place, faults)];
  });
  return {
    openMinutes: text.open,
    pullMinutes: text.pull,
    parts,
    values: Object.fromEntries(values),
  };
}

function deskExpectations(
  text: NonNullable<DeskText["expectations"]>,
  faults: Fault[],
): Expectations {
  const written = Object.entries(text).flatMap(([key, value]) =>
    value === undefined ? [] : [[key, value] as const],
  );
  const { expectations, faults: keys } = parseExpectations(Object.fromEntries(written));
  for (const key of keys) {
    const message = `"${key}" is ${JSON.stringify(text[key as keyof typeof text])}; allowed: ${expectationForms[key]}.`;
    faults.push({ place: ["expectations", key], at: "value", message });
  }
  return expectations;
}

function deskAge(
  { installed, recapped, powered, warmer }: NonNullable<DeskText["age"]>,
  strips: readonly string[],
  faults: Fault[],
): DeskAge {
  return {
    ...(installed === undefined ? {} : { installed }),
    recapped: Object.entries(recapped).map(([year, some]) => ({
      year: Number(year),
      strips: someStrips(some, strips, ["age", "recapped", year], faults),
    })),
    poweredHours: powered,
    warmerKelvin: warmer,
  };
}

function nameFaultAt(place: readonly string[], faults: Fault[]): void {
  const name = String(place.at(-1));
  const fault = validateInputName(name.normalize("NFC"));
  if (fault !== undefined) faults.push({ place, at: "key", message: `"${name}": ${fault}.` });
}

function oneLine(text: string, maxLength: number, place: Place, faults: Fault[]): string {
  const line = text.replace(/\s+/g, " ").trim();
  const fault = validateLine(line, maxLength);
  if (fault !== undefined) {
    faults.push({ place, at: "value", message: `"${String(place.at(-1))}" ${fault}.` });
  }
  return line;
}

/** Faults without a line come after all others. */
const unplaced = Number.MAX_SAFE_INTEGER;

/** For faults whose message says all. */
const mendIt = "Change that in the file, then run the same command again.";

/** The fault that stands first in the file, as an error. */
function firstFault(
  faults: readonly Fault[],
  doc: Document.Parsed,
  lineAt: (offset: number) => number,
  file: string,
): DeskroundError {
  const placed = faults
    .map((fault) => ({ ...fault, line: lineOf(fault, doc, lineAt) }))
    .sort((a, b) => (a.line ?? unplaced) - (b.line ?? unplaced));
  const [first] = placed;
  const where = first?.line === undefined ? file : `${file} line ${first.line}`;
  const more = faults.length > 1 ? `${faults.length} faults in the file, this is the first.` : "";
  const hint = [first?.hint ?? "", more].filter((part) => part !== "").join(" ");
  return new DeskroundError("desk-file", `${where}: ${first?.message}`, hint || mendIt);
}

/** Line of a fault; of the nearest block around it when it has none, being missing. */
function lineOf(
  fault: Fault,
  doc: Document.Parsed,
  lineAt: (offset: number) => number,
): number | undefined {
  for (let depth = fault.place.length; depth > 0; depth--) {
    const place = fault.place.slice(0, depth);
    const node =
      fault.at === "value" && depth === fault.place.length ? valueAt(place, doc) : undefined;
    const range = (node ?? keyAt(place, doc))?.range;
    if (range) return lineAt(range[0]);
  }
  return undefined;
}

function valueAt(place: Place, doc: Document.Parsed): Node | undefined {
  const node = nodeAt(place, doc);
  // An empty value ends where it begins, on the line after its key.
  return node?.range && node.range[0] !== node.range[1] ? node : undefined;
}

function keyAt(place: Place, doc: Document.Parsed): Node | undefined {
  const parent = nodeAt(place.slice(0, -1), doc);
  return isMap(parent) ? (pairOf(parent, place.at(-1))?.key as Node | undefined) : undefined;
}

function nodeAt(place: Place, doc: Document.Parsed): Node | undefined {
  return place.reduce<Node | undefined>((node, step) => {
    if (isMap(node)) return pairOf(node, step)?.value as Node | undefined;
    return isSeq(node) ? (node.items[Number(step)] as Node | undefined) : undefined;
  }, doc.contents ?? undefined);
}

/** Pairs by their keys: looked through for each of many faults, a long block would take minutes. */
const pairsOf = new WeakMap<YAMLMap, ReadonlyMap<string, Pair>>();

function pairOf(map: YAMLMap, key: PropertyKey | undefined): Pair | undefined {
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
