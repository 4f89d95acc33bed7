import { existsSync } from "node:fs";
import { join } from "node:path";
import { isMap } from "yaml";
import { DeskroundError } from "../../errors.js";
import { readTextFile } from "../../text-file.js";
import { parseYaml } from "../../yaml-file.js";
import { normalizeName } from "../names.js";
import { parsePlace } from "../place.js";
import { didYouMean } from "../read/did-you-mean.js";
import type { DeskFileIssue, Place } from "../read/fault.js";
import { findFirstFault } from "../read/find-first-fault.js";
import { readLine } from "../read/read-line.js";
import { pickStrips } from "../read/read-strips.js";
import type { Desk } from "../types.js";
import { stripDownFileName, stripDownKind } from "./strip-down-file.js";
import { isBlock, type TextBlock, type TextTree, toTextTree } from "./text-tree.js";
import type { CountedPart, StripDownBoard, StripDownBook, TakeOff } from "./types.js";

const longestName = 40;
const longestText = 200;
const mostLines = 60;
const mostBoards = 60;
const mostSections = 96;

const takeOffKeys = ["steps", "fixings", "tools", "minutes", "weight", "people", "photos"] as const;
const boardKeys = [
  "strips",
  "sections",
  "stages",
  "controls",
  "after",
  ...takeOffKeys,
  "knobs",
  "connectors",
  "ties",
  "extender",
  "capacitors",
] as const;

/** Description of the values allowed for each key. */
export const stripDownForms: Readonly<Record<(typeof boardKeys)[number], string>> = {
  strips: "strips that have this board, such as 1-12 or [1, 2, 3A]",
  sections: "groups, buses, master, supply or the like that have this board: group 1-8, master",
  stages: "stages of the desk's flow that sit on it, as a list",
  controls: "controls of a strip that sit on it, as a list",
  after: "boards or parts of the construction that come off before it, as a list",
  steps: "what is done, one line each",
  fixings: "screws and nuts with their number and size, e.g. 4x M3x8 countersunk",
  tools: "tools, one line each",
  minutes: "a number of minutes from 0 to 6000, off and on again",
  weight: "kilograms, from 0.01 to 500",
  people: "how many people it takes, from 1 to 9",
  photos: "names of pictures in the desk's folder",
  knobs: "knobs to pull, one line each",
  connectors: "connectors to unplug, one line each",
  ties: "cable ties and lacings to cut and renew, one line each",
  extender: "what the board is operated on outside the desk",
  capacitors: "its electrolytics by value, e.g. 6x 10 µF 35 V",
};

/**
 * Reads the desk's strip-down book; undefined if there is none.
 *
 * @param folder the desk's folder
 * @throws DeskroundError `desk-file`, naming file and line
 */
export function readStripDown(folder: string, desk: Desk): StripDownBook | undefined {
  const file = join(folder, stripDownFileName);
  return existsSync(file)
    ? parseStripDown(readTextFile(file, stripDownKind), file, desk)
    : undefined;
}

/** The same for a text; `file` is used in messages. */
export function parseStripDown(text: string, file: string, desk: Desk): StripDownBook {
  const { doc, lineAt } = parseYaml(text, file, stripDownKind.code);
  if (!isMap(doc.contents)) {
    throw new DeskroundError(
      stripDownKind.code,
      doc.contents === null
        ? `${file} is empty.`
        : `${file} line 1: not a strip-down book: it should begin with "boards:".`,
      "docs/strip-down.md shows one.",
    );
  }
  const faults: DeskFileIssue[] = [];
  const tree = toTextTree(doc.contents, [], faults);
  const book = isBlock(tree) ? readBook(tree, file, desk, faults) : undefined;
  if (book !== undefined && faults.length === 0) return book;
  throw findFirstFault(faults, doc, lineAt, file);
}

function readBook(
  tree: TextBlock,
  file: string,
  desk: Desk,
  faults: DeskFileIssue[],
): StripDownBook | undefined {
  checkKeys(tree, ["version", "open", "boards"], [], faults);
  const { version = "1", open, boards } = tree;
  if (version !== "1") {
    faults.push({
      place: ["version"],
      at: "value",
      message: "this version of strip-down books is not known; allowed: 1.",
    });
  }
  if (!isBlock(boards)) {
    faults.push({
      place: ["boards"],
      at: "key",
      message: `"boards" ${boards === undefined ? "is missing" : "names no board"}.`,
      hint: "One indented block for each board, its name before it.",
    });
    return undefined;
  }
  const names = Object.keys(boards);
  if (names.length > mostBoards) {
    faults.push({
      place: ["boards"],
      at: "key",
      message: `${names.length} boards are more than the ${mostBoards} allowed.`,
    });
  }
  const all = names.map((name) => readBoard(name, boards[name], names, desk, faults));
  checkOrder(all, faults);
  return {
    file,
    ...(open === undefined ? {} : { open: readOpen(open, faults) }),
    boards: all,
  };
}

function readOpen(tree: TextTree, faults: DeskFileIssue[]): TakeOff {
  const place = ["open"];
  if (!isBlock(tree)) {
    faults.push({ place, at: "value", message: `"open" should be an indented block.` });
    return readTakeOff({}, place, faults);
  }
  checkKeys(tree, takeOffKeys, place, faults);
  return readTakeOff(tree, place, faults);
}

function readBoard(
  name: string,
  tree: TextTree,
  boards: readonly string[],
  desk: Desk,
  faults: DeskFileIssue[],
): StripDownBoard {
  const place = ["boards", name];
  const block = isBlock(tree) ? tree : {};
  if (!isBlock(tree)) {
    faults.push({
      place,
      at: "key",
      message: `"${name}" should be an indented block.`,
      hint: `Keys that belong there: ${boardKeys.join(", ")}.`,
    });
  }
  checkBoardName(name, boards, place, faults);
  checkKeys(block, boardKeys, place, faults);
  const stages = [...new Set(Object.values(desk.flow.stages).flat())];
  const parts = desk.construction.parts.map((part) => part.name);
  const others = [...boards.filter((other) => other !== name), ...parts];
  const { strips } = block;
  const controls = desk.controls.map((control) => control.name);
  const list = (key: (typeof boardKeys)[number]) => readLines(block[key], [...place, key], faults);
  const sections = readSections(list("sections"), [...place, "sections"], desk, faults);
  const pick = (key: "stages" | "controls" | "after", known: readonly string[], what: string) =>
    pickNames(list(key), known, what, [...place, key], faults);
  const extender = list("extender").join("; ");
  return {
    name,
    strips:
      strips === undefined || strips === null
        ? block.sections === undefined
          ? desk.strips
          : []
        : pickStrips(toTexts(strips), desk.strips, [...place, "strips"], faults),
    sections,
    stages: pick("stages", stages, "stage"),
    controls: pick("controls", controls, "control"),
    after: pick("after", others, "board or part of the construction"),
    ...readTakeOff(block, place, faults),
    knobs: list("knobs"),
    connectors: list("connectors"),
    ties: list("ties"),
    ...(extender === "" ? {} : { extender }),
    capacitors: readCounted(block.capacitors, [...place, "capacitors"], faults),
  };
}

/** Reads `group 1-8`, `master`: each by the desk's name for it. */
function readSections(
  texts: readonly string[],
  place: Place,
  desk: Desk,
  faults: DeskFileIssue[],
): readonly string[] {
  const names = texts.flatMap((text) => {
    const [, kind, first, last] = /^(\D+?)\s*(\d+)\s*[-–]\s*(\d+)$/.exec(text) ?? [];
    if (kind === undefined) return [text];
    const count = Number(last) - Number(first) + 1;
    return count >= 1 && count <= mostSections
      ? Array.from({ length: count }, (_, k) => `${kind} ${Number(first) + k}`)
      : [text];
  });
  return names.flatMap((name) => {
    try {
      const { section } = parsePlace(name, desk);
      if (section !== undefined) return [section];
      faults.push({
        place,
        at: "value",
        message: `"${name}" is not a section of the desk.`,
        hint: "Sections are groups, buses, master, supply and the like; strips have `strips`.",
      });
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      faults.push({
        place,
        at: "value",
        message: `the desk has no section "${name}".`,
        hint: "Sections are groups, buses, master, supply and the like; `places` in desk.yaml names the desk's own.",
      });
    }
    return [];
  });
}

function readTakeOff(block: TextBlock, place: Place, faults: DeskFileIssue[]): TakeOff {
  const at = (key: string) => [...place, key];
  const number = (key: "minutes" | "weight" | "people", from: number, to: number) =>
    readNumber(block[key], at(key), from, to, faults);
  const minutes = number("minutes", 0, 6000);
  const weightKg = number("weight", 0.01, 500);
  return {
    steps: readLines(block.steps, at("steps"), faults),
    fixings: readCounted(block.fixings, at("fixings"), faults),
    tools: readLines(block.tools, at("tools"), faults),
    ...(minutes === undefined ? {} : { minutes }),
    ...(weightKg === undefined ? {} : { weightKg }),
    people: Math.round(number("people", 1, 9) ?? 1),
    photos: readLines(block.photos, at("photos"), faults),
  };
}

function checkBoardName(
  name: string,
  boards: readonly string[],
  place: readonly string[],
  faults: DeskFileIssue[],
): void {
  if (name.trim() === "") {
    faults.push({ place, at: "key", message: "a board has no name." });
  }
  readLine(name, longestName, place, faults);
  const twin = boards.find(
    (other) => other !== name && normalizeName(other) === normalizeName(name),
  );
  if (twin !== undefined && boards.indexOf(twin) < boards.indexOf(name)) {
    faults.push({
      place,
      at: "key",
      message: `boards ${twin} and ${name} differ only in capitals.`,
    });
  }
}

function checkKeys(
  block: TextBlock,
  known: readonly string[],
  place: Place,
  faults: DeskFileIssue[],
): void {
  for (const key of Object.keys(block)) {
    if (known.includes(key)) continue;
    faults.push({
      place: [...place, key],
      at: "key",
      message: `"${key}" is not a key here.`,
      hint: didYouMean(key, known) ?? `Keys here: ${known.join(", ")}.`,
    });
  }
}

/** Rejects boards that wait for each other. */
function checkOrder(boards: readonly StripDownBoard[], faults: DeskFileIssue[]): void {
  const byName = new Map(boards.map((board) => [board.name, board]));
  const settled = new Set<string>();
  const visit = (name: string, above: readonly string[]): void => {
    const board = byName.get(name);
    if (board === undefined || settled.has(name)) return;
    if (above.includes(name)) {
      const ring = [...above.slice(above.indexOf(name)), name].join(", then ");
      faults.push({
        place: ["boards", name, "after"],
        at: "value",
        message: `each of these has to come off before another: ${ring}.`,
      });
      return;
    }
    for (const next of board.after) visit(next, [...above, name]);
    settled.add(name);
  };
  for (const { name } of boards) visit(name, []);
}

function toTexts(tree: TextTree): string | string[] {
  if (typeof tree === "string") return tree;
  return Array.isArray(tree) ? tree.map(String) : [];
}

/** Reads lines of text; a single one needs no list. */
function readLines(
  tree: TextTree | undefined,
  place: Place,
  faults: DeskFileIssue[],
): readonly string[] {
  if (tree === undefined || tree === null) return [];
  if (isBlock(tree)) {
    faults.push({
      place,
      at: "value",
      message: `"${String(place.at(-1))}" should be a list of texts.`,
    });
    return [];
  }
  const items: readonly TextTree[] = typeof tree === "string" ? [tree] : tree;
  if (items.length > mostLines) {
    const message = `"${String(place.at(-1))}" has ${items.length} lines, more than the ${mostLines} allowed.`;
    faults.push({ place, at: "key", message });
    return [];
  }
  return items.flatMap((item, k) => {
    const at = typeof tree === "string" ? place : [...place, k];
    if (typeof item === "string" && item.trim() !== "") {
      return [readLine(item, longestText, at, faults)];
    }
    faults.push({
      place: at,
      at: "value",
      message: `"${String(place.at(-1))}" should be a list of texts.`,
      hint: "Put a text with a colon in quotes.",
    });
    return [];
  });
}

function pickNames(
  written: readonly string[],
  known: readonly string[],
  what: string,
  place: Place,
  faults: DeskFileIssue[],
): readonly string[] {
  return written.map((text, k) => {
    const found = known.find((name) => normalizeName(name) === normalizeName(text));
    if (found !== undefined) return found;
    const list = known.length === 0 ? "There is none." : `There are: ${known.join(", ")}.`;
    faults.push({
      place: written.length === 1 ? place : [...place, k],
      at: "value",
      message: `the desk has no ${what} "${text}".`,
      hint: didYouMean(text, known) ?? list,
    });
    return text;
  });
}

const countedPattern = /^(\d{1,4})\s*[x×]\s*(.+)$/u;

function readCounted(
  tree: TextTree | undefined,
  place: Place,
  faults: DeskFileIssue[],
): readonly CountedPart[] {
  return readLines(tree, place, faults).flatMap((text, k) => {
    const found = countedPattern.exec(text);
    if (found !== null && Number(found[1]) > 0) {
      return [{ count: Number(found[1]), what: found[2].trim() }];
    }
    faults.push({
      place: Array.isArray(tree) ? [...place, k] : place,
      at: "value",
      message: `"${text}" does not say how many.`,
      hint: "For example 4x M3x8 countersunk, or 6x 10 µF 35 V.",
    });
    return [];
  });
}

function readNumber(
  tree: TextTree | undefined,
  place: Place,
  from: number,
  to: number,
  faults: DeskFileIssue[],
): number | undefined {
  if (tree === undefined || tree === null) return undefined;
  const text = typeof tree === "string" ? tree.replace(/\s*(kg|min(utes)?)$/i, "") : "";
  const value = /^\d+([.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : Number.NaN;
  if (value >= from && value <= to) return value;
  const key = String(place.at(-1)) as (typeof boardKeys)[number];
  const written = typeof tree === "string" ? `is "${tree}"` : "is no number";
  faults.push({
    place,
    at: "value",
    message: `"${key}" ${written}; allowed: ${stripDownForms[key]}.`,
  });
  return undefined;
}
