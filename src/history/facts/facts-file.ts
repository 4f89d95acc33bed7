import { createHash } from "node:crypto";
import { toolVersion } from "../../version.js";
import { formatAsciiJson, parseAsciiJson } from "../ascii-json.js";
import type { RoundFileState } from "../round-file-state.js";
import { listSeriousFindings } from "../standing.js";
import type { Round, RoundPath } from "../types.js";
import { listOtherSides } from "../with-sides.js";
import type { PathFacts, ReadingFacts, RoundFacts } from "./types.js";

/** The file of a round that an index entry was made from. */
export interface RoundSource extends RoundFileState {
  readonly sha256: string;
}

/** An entry of the index that is whole, as far as it was read. */
export interface FactsEntry {
  readonly source: RoundSource;
  readonly facts: FactsText;
}

/** The facts of a round as text: see {@link parseFacts}. */
export interface FactsText {
  /** All but the readings. */
  readonly head: Buffer;
  /**
   * A line with the words of findings and one for each reading, so that those not asked for need not
   * be parsed; absent if not read.
   */
  readonly rest?: Buffer;
}

/** Raised whenever the form changes, or the schema of rounds turns down what it let pass before. */
const version = 5;

/** How every entry begins; an entry of another program's version is made again. */
export const entryStart = '{"format":"deskround-index",';

/** An entry that can be stored. */
export interface WholeEntry extends FactsEntry {
  readonly facts: Required<FactsText>;
}

/** First bytes of an entry that are read at once; the heads of most fit into them. */
export const firstPart = 65_536;

/**
 * An entry as bytes: a line that names the form with lengths and checksums of what follows, a line
 * about the round's file, one with everything but readings, and one for each reading.
 */
export function formatEntry({ source, facts: { head, rest } }: WholeEntry): Buffer {
  const front = Buffer.from(`${JSON.stringify(source)}\n`);
  const sums: Sums = {
    frontBytes: front.length,
    headBytes: head.length,
    restBytes: rest.length,
    front: checksum(front, head),
    rest: checksum(rest),
  };
  const first = `${entryStart}${versions}${JSON.stringify(sums).slice(1)}\n`;
  return Buffer.concat([Buffer.from(first), front, head, rest]);
}

/** Lengths in bytes and checksums of an entry's parts; that of the head covers the front too. */
interface Sums {
  readonly frontBytes: number;
  readonly headBytes: number;
  readonly restBytes: number;
  readonly front: string;
  readonly rest: string;
}

/** Reads this many bytes of an entry, or fewer at its end. */
export type ReadBytes = (from: number, length: number) => Buffer;

/**
 * Reads an entry back.
 *
 * @param with whether the readings are read too
 * @returns `damaged`, or `other` for one of another version of the program
 */
export function parseEntry(
  read: ReadBytes,
  which: "head" | "all",
): FactsEntry | "spoilt" | "other" {
  const start = read(0, firstPart);
  const end = start.indexOf(0x0a);
  const first = start.toString("latin1", 0, Math.max(0, end));
  if (!first.startsWith(entryStart)) return "spoilt";
  if (!first.startsWith(entryStart + versions)) return "other";
  const sums = parseSums(`{${first.slice(entryStart.length + versions.length)}`);
  if (sums === undefined) return "spoilt";
  const part = (from: number, length: number) =>
    from + length <= start.length ? start.subarray(from, from + length) : read(from, length);
  const front = part(end + 1, sums.frontBytes);
  const head = part(end + 1 + sums.frontBytes, sums.headBytes);
  if (checksum(front, head) !== sums.front) return "spoilt";
  const source: RoundSource = JSON.parse(front.toString("utf8"));
  if (which === "head") return { source, facts: { head } };
  const rest = part(end + 1 + sums.frontBytes + sums.headBytes, sums.restBytes);
  if (checksum(rest) !== sums.rest) return "spoilt";
  return { source, facts: { head, rest } };
}

function parseSums(text: string): Sums | undefined {
  try {
    const sums = JSON.parse(text) as Sums;
    const lengths = [sums.frontBytes, sums.headBytes, sums.restBytes];
    return lengths.every((one) => Number.isSafeInteger(one) && one >= 0) ? sums : undefined;
  } catch {
    return undefined;
  }
}

/** The facts of a round as text. */
export function formatFacts(round: Round): Required<FactsText> {
  const { id, date, desk, signal, partial, calibration, captures, paths, shared, sums } = round;
  const tooHigh = sums?.filter(({ verdict }) => verdict === "too-high") ?? [];
  const sides = listOtherSides(round);
  const all = [...paths, ...sides];
  const ids = [...new Set(all.flatMap(({ readings }) => Object.keys(readings)))];
  const head: Head = {
    id,
    date,
    desk,
    signal,
    calibrated: calibration !== null,
    ...(partial === undefined ? {} : { partial }),
    ...(shared === undefined
      ? {}
      : { shared: shared.map(({ part, severity }) => ({ part, severity })) }),
    ...(tooHigh.length === 0
      ? {}
      : { tooHigh: tooHigh.map(({ paths: own, reading }) => ({ paths: own, reading })) }),
    captures: captures.map(({ sha256 }) => sha256),
    readings: ids,
    path: paths.map(({ path }) => path),
    strip: paths.map(({ strip }) => strip),
    input: paths.map(({ input }) => input),
    family: paths.map(({ family }) => family),
    status: paths.map(({ status }) => status),
    oddness: paths.map(({ oddness }) => oddness),
    ...(sides.length === 0 ? {} : { sides: sides.map(toSide) }),
    odd: paths.flatMap((path, k): Odd[] => {
      const severities = listSeriousFindings(path).map(({ severity }) => severity);
      const [first] = path.causes;
      if (severities.length === 0 && first === undefined) return [];
      return [[k, severities, first?.kind ?? null]];
    }),
  };
  const words: Words = head.odd.map(([k]) => [
    listSeriousFindings(paths[k]).map(({ words = "" }) => words),
    paths[k].causes[0]?.name ?? "",
  ]);
  const lines = [words, ...ids.map((id) => toColumn(all, id))];
  return {
    head: Buffer.from(formatAsciiJson(head)),
    rest: Buffer.from(lines.map((line) => `\n${formatAsciiJson(line)}`).join("")),
  };
}

/**
 * Reads facts back.
 *
 * @param wanted ids of the readings that are wanted
 */
export function parseFacts(
  { head: bytes, rest }: FactsText,
  wanted: readonly string[],
): RoundFacts {
  const head = parseAsciiJson<Head>(bytes);
  if (rest === undefined) return toFacts(head, [], createReadingsReader([]));
  const [words, ...lines] = listLines(rest);
  const columns = wanted.flatMap((id) => {
    const line = lines[head.readings.indexOf(id)];
    return line === undefined ? [] : [{ id, column: parseAsciiJson<Column>(line) }];
  });
  return toFacts(head, parseAsciiJson(words), createReadingsReader(columns));
}

/** Lines, each after a line end. */
function listLines(bytes: Buffer): readonly Buffer[] {
  const lines: Buffer[] = [];
  for (let from = 0; from < bytes.length; ) {
    const next = bytes.indexOf(0x0a, from + 1);
    const end = next < 0 ? bytes.length : next;
    lines.push(bytes.subarray(from + 1, end));
    from = end;
  }
  return lines;
}

/** The paths' data as lists, since there are tens of thousands. */
interface Head
  extends Pick<RoundFacts, "id" | "date" | "desk" | "signal" | "partial" | "shared" | "tooHigh"> {
  readonly calibrated: boolean;
  readonly captures: readonly string[];
  readonly readings: readonly string[];
  readonly path: readonly string[];
  readonly strip: readonly string[];
  readonly input: readonly string[];
  readonly family: readonly string[];
  readonly status: readonly PathFacts["status"][];
  readonly oddness: readonly number[];
  /** Of {@link RoundFacts.sides}; their readings follow those of the paths. */
  readonly sides?: readonly Side[];
  readonly odd: readonly Odd[];
}

type Side = Omit<PathFacts, "readings" | "findings" | "causes">;

function toSide({ path, strip, input, family, status, oddness }: RoundPath): Side {
  return { path, strip, input, family, status, oddness };
}

type Odd = readonly [
  path: number,
  severities: readonly PathFacts["findings"][number]["severity"][],
  cause: PathFacts["causes"][number]["kind"] | null,
];

/** Of each odd path: its findings in words, and its cause's name. */
type Words = readonly (readonly [findings: readonly string[], cause: string])[];

/** A reading of all paths; null for a path without it. */
interface Column {
  readonly unit: string;
  readonly values: readonly (number | null)[];
  /** What differs from the rule: another unit, a bound. By the path's number. */
  readonly others: Readonly<Record<string, Omit<ReadingFacts, "value">>>;
}

function toColumn(paths: readonly RoundPath[], id: string): Column {
  const own = paths.map(({ readings }) => (Object.hasOwn(readings, id) ? readings[id] : undefined));
  const unit = own.find((one) => one !== undefined)?.unit ?? "";
  const others: Record<string, Omit<ReadingFacts, "value">> = {};
  own.forEach((one, k) => {
    if (one === undefined) return;
    const { bound, limitedBy } = one;
    if (one.unit === unit && bound === undefined && limitedBy === undefined) return;
    others[k] = {
      unit: one.unit,
      ...(bound === undefined ? {} : { bound }),
      ...(limitedBy === undefined ? {} : { limitedBy }),
    };
  });
  return { unit, values: own.map((one) => one?.value ?? null), others };
}

function toFacts(head: Head, words: Words, readingsOf: (path: number) => Readings): RoundFacts {
  const { id, date, desk, signal, partial, shared, tooHigh, ...more } = head;
  const { calibrated, captures, odd, sides, ...of } = more;
  const at = new Map(odd.map(([path], k) => [path, k]));
  return {
    id,
    date,
    desk,
    signal,
    ...(partial === undefined ? {} : { partial }),
    ...(shared === undefined ? {} : { shared }),
    ...(tooHigh === undefined ? {} : { tooHigh }),
    calibration: calibrated ? {} : null,
    captures: captures.map((sha256) => ({ sha256 })),
    paths: of.path.map((path, k) => {
      const own = at.get(k);
      const [, severities, kind] = own === undefined ? noOdd : odd[own];
      const [texts, name] = (own === undefined ? undefined : words[own]) ?? [[], ""];
      return {
        path,
        strip: of.strip[k],
        input: of.input[k],
        family: of.family[k],
        status: of.status[k],
        oddness: of.oddness[k],
        readings: readingsOf(k),
        findings: severities.map((severity, i) => ({ severity, words: texts[i] ?? "" })),
        causes: kind === null ? [] : [{ kind, name }],
      };
    }),
    ...(sides === undefined
      ? {}
      : {
          sides: sides.map((side, k) => ({
            ...side,
            readings: readingsOf(of.path.length + k),
            findings: [],
            causes: [],
          })),
        }),
  };
}

const noOdd: Odd = [-1, [], null];

type Readings = PathFacts["readings"];

/**
 * Readings of a path that are built when they are looked up: sixty rounds have half a million, each
 * of which is used once or twice.
 */
function createReadingsReader(
  columns: readonly { readonly id: string; readonly column: Column }[],
): (path: number) => Readings {
  // Looked up on an object that inherits nothing, whatever a reading is called.
  const lookUps: object = Object.create(null);
  for (const { id, column } of columns) {
    const { unit, others } = column;
    const values = Float64Array.from(column.values, (value) => value ?? Number.NaN);
    Object.defineProperty(lookUps, id, {
      enumerable: true,
      get(this: { readonly [place]: number }): ReadingFacts | undefined {
        const value = values[this[place]];
        if (Number.isNaN(value)) return undefined;
        const other = others[this[place]];
        return other === undefined ? { value, unit } : { value, ...other };
      },
    });
  }
  return (path) => {
    const readings = Object.create(lookUps);
    readings[place] = path;
    return readings;
  };
}

/** Which path readings belong to: a key that no reading can have. */
const place = Symbol("path");

const versions = `"version":${version},"tool":${JSON.stringify(toolVersion)},`;

function checksum(...parts: readonly Buffer[]): string {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part);
  return hash.digest("hex");
}
