import zlib from "node:zlib";
import type { Curve, Curves } from "../../measure/types.js";
import { toolVersion } from "../../version.js";
import { formatAsciiJson, parseAsciiJson } from "../ascii-json.js";
import type { RoundFileState } from "../round-file-state.js";
import type { MeasuredReferenceTurn, Round, RoundPath, RoundSide } from "../types.js";
import { defineLazily } from "./lazy-property.js";

/**
 * A round that was read and checked, in a form that is read in a tenth of the time: ASCII, and the
 * points of its curves, four fifths of it, apart by kinds, so that only those that are needed are read.
 */

/** Raised whenever the form changes, or the schema of rounds turns down what it let pass before. */
const version = 1;

/** How every one of them begins. */
export const checkedStart = '{"format":"deskround-checked-round",';

/** The second line: what it was made from, and the lengths in bytes of what follows. */
interface Contents {
  readonly source: RoundFileState;
  readonly roundBytes: number;
  /** Kinds of curves with the length and the checksum of their points, in their order. */
  readonly kinds: readonly (readonly [kind: string, bytes: number, sum: number])[];
}

/** A round whose curves are numbers: which of the `sets` they are. */
interface Bare {
  readonly sets: readonly CurveSet[];
  readonly round: Round;
}

/** Curves of a path without their points: the same for most paths. */
type CurveSet = readonly (readonly [kind: string, form: CurveForm])[];

/** What a curve consists of, in its order: `[key]` is a list, `[key, value]` anything else. */
type CurveForm = readonly (readonly [key: string, value?: unknown])[];

/** The points of all curves of a kind, in the order of {@link listOwners}: the lists of each. */
export type CurvePoints = readonly (readonly unknown[] | null)[];

/** What has curves. */
type Owner = RoundPath | RoundSide | MeasuredReferenceTurn;

/** First bytes that are read at once; the first two lines fit into them. */
const firstPart = 16_384;

/**
 * A checked round as bytes: a line with the form and a checksum of the next two parts, which are a
 * line of contents and the round without points; and the points by kinds.
 *
 * @returns undefined for a round that would not come back the same
 */
export function formatChecked(source: RoundFileState, round: Round): Buffer | undefined {
  if (holdsNegativeZero(round)) return undefined;
  const owners = listOwners(round);
  const names = [...new Set(owners.flatMap(({ curves }) => Object.keys(curves)))];
  const columns = names.map((kind) => Buffer.from(formatAsciiJson(toColumn(owners, kind))));
  const body = Buffer.from(formatAsciiJson(withoutPoints(round)));
  const contents: Contents = {
    source,
    roundBytes: body.length,
    kinds: names.map((kind, k) => [kind, columns[k].length, zlib.crc32(columns[k])]),
  };
  const second = Buffer.from(`${formatAsciiJson(contents)}\n`);
  return Buffer.concat([Buffer.from(formatFirstLine(second, body)), second, body, ...columns]);
}

/** The points of a kind of curve of all that has curves in a round. */
export function listPoints(round: Round, kind: string): CurvePoints {
  return toColumn(listOwners(round), kind);
}

/** Where a checked round is read from. */
export interface CheckedSource {
  /** Reads `length` bytes from a position, or fewer at the end. */
  readonly read: (from: number, length: number) => Buffer;
  /** Whether the file that it was made from is still the same. */
  readonly isCurrent: (source: RoundFileState) => boolean;
  /** The points of a kind from that file, if the cached ones are damaged or missing. */
  readonly readAnew: (kind: string) => CurvePoints;
}

/**
 * Reads a checked round back.
 *
 * @returns undefined if it is another version's, damaged, or of a file that is not the same
 */
export function parseChecked(from: CheckedSource): Round | undefined {
  const start = from.read(0, firstPart);
  const second = start.indexOf(0x0a) + 1;
  const third = start.indexOf(0x0a, second) + 1;
  const first = start.toString("latin1", 0, second);
  if (!first.startsWith(checkedStart + versions)) return undefined;
  const line = start.subarray(second, third);
  const { source, roundBytes, kinds } = parseAsciiJson<Contents>(line);
  const body = from.read(third, roundBytes);
  if (first !== formatFirstLine(line, body) || !from.isCurrent(source)) return undefined;
  const { sets, round } = parseAsciiJson<Bare>(body);
  const columns = new Map<string, () => CurvePoints>();
  let at = third + roundBytes;
  for (const [kind, length, sum] of kinds) {
    const place = at;
    columns.set(
      kind,
      once(() => readColumn(from, place, length, sum) ?? from.readAnew(kind)),
    );
    at += length;
  }
  listOwners(round).forEach((owner, place) => {
    const curves: Curves = {};
    for (const [kind, form] of sets[owner.curves as unknown as number]) {
      const column = columns.get(kind);
      defineLazily(curves, kind, () => createCurve(form, () => column?.()[place] ?? []));
    }
    (owner as { curves: Curves }).curves = curves;
  });
  return round;
}

function readColumn(
  { read }: CheckedSource,
  from: number,
  length: number,
  sum: number,
): CurvePoints | undefined {
  try {
    const bytes = read(from, length);
    return zlib.crc32(bytes) === sum ? parseAsciiJson<CurvePoints>(bytes) : undefined;
  } catch {
    return undefined;
  }
}

function formatFirstLine(contents: Buffer, body: Buffer): string {
  return `${checkedStart}${versions}"sum":${zlib.crc32(body, zlib.crc32(contents))}}\n`;
}

const versions = `"version":${version},"tool":${JSON.stringify(toolVersion)},`;

function withoutPoints(round: Round): Bare {
  const sets = new Map<string, number>();
  const bare = <T extends Owner>(owner: T): T => {
    const set = JSON.stringify(
      Object.entries(owner.curves).map(([kind, one]) => [kind, formOf(one)]),
    );
    if (!sets.has(set)) sets.set(set, sets.size);
    return { ...owner, curves: sets.get(set) };
  };
  const { paths, reference } = round;
  const stripped: Round = {
    ...round,
    ...(reference === undefined
      ? {}
      : { reference: { ...reference, turns: reference.turns.map(bare) } }),
    paths: paths.map((path) => {
      const { partner } = path;
      return { ...bare(path), ...(partner === undefined ? {} : { partner: bare(partner) }) };
    }),
  };
  return { sets: [...sets.keys()].map((set) => JSON.parse(set)), round: stripped };
}

function formOf(curve: Curve): CurveForm {
  return Object.entries(curve).map(([key, value]) => (Array.isArray(value) ? [key] : [key, value]));
}

/** A curve whose lists are read when one of them is first accessed. */
function createCurve(form: CurveForm, points: () => readonly unknown[]): object {
  const curve: Record<string, unknown> = {};
  let list = 0;
  for (const [key, ...value] of form) {
    const place = list;
    if (value.length === 0) {
      defineLazily(curve, key, () => points()[place]);
      list++;
    } else curve[key] = value[0];
  }
  return curve;
}

/** Paths, their second sides and the turns of the reference path, always in the same order. */
function listOwners({ paths, reference }: Round): readonly Owner[] {
  const sides = paths.flatMap(({ partner }) => partner ?? []);
  return [...paths, ...sides, ...(reference?.turns ?? [])];
}

function toColumn(owners: readonly Owner[], kind: string): CurvePoints {
  return owners.map(({ curves }) =>
    Object.hasOwn(curves, kind) ? Object.values(curves[kind]).filter(Array.isArray) : null,
  );
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

/** JSON is read with −0 and written without. */
function holdsNegativeZero(value: unknown): boolean {
  if (typeof value === "number") return Object.is(value, -0);
  if (typeof value !== "object" || value === null) return false;
  for (const key in value) {
    if (holdsNegativeZero((value as Readonly<Record<string, unknown>>)[key])) return true;
  }
  return false;
}
