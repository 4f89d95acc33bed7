import zlib from "node:zlib";
import type { Curve, Curves } from "../../measure/types.js";
import { toolVersion } from "../../version.js";
import { formatAsciiJson, parseAsciiJson } from "../ascii-json.js";
import type { RoundFileState } from "../round-file-state.js";
import type { MeasuredReferenceTurn, Round, RoundPath, RoundSide } from "../types.js";
import { defineLazily } from "./lazy-property.js";

/**
 * A round that was read and checked, in a form that is read in a tenth of the time: ASCII, and the
 * points of its curves, four fifths of it, apart by kinds, so that those not looked at are not
 * parsed.
 */

/** Raised whenever the form changes, or the schema of rounds turns down what it let pass before. */
const version = 1;

/** How every one of them begins. */
export const checkedStart = '{"format":"deskround-checked-round",';

/** The second line: what it was made from, and the lengths in bytes of what follows. */
interface Contents {
  readonly source: RoundFileState;
  readonly roundBytes: number;
  /** Kinds of curves with the length of their points, in their order. */
  readonly kinds: readonly (readonly [kind: string, bytes: number])[];
}

/** A round whose curves are numbers: which of the `sets` they are. */
interface Bare {
  readonly sets: readonly CurveSet[];
  readonly round: Round;
}

/** Curves of a path without their points: path after path has the same. */
type CurveSet = readonly (readonly [kind: string, form: CurveForm])[];

/** What a curve consists of, in its order: `[key]` is a list, `[key, value]` anything else. */
type CurveForm = readonly (readonly [key: string, value?: unknown])[];

/** The points of all curves of a kind, in the order of {@link listOwners}: the lists of each. */
type Column = readonly (readonly unknown[] | null)[];

/** What has curves. */
type Owner = RoundPath | RoundSide | MeasuredReferenceTurn;

/**
 * A checked round as bytes: a line with the form and a checksum of all that follows, a line of
 * contents, the round without points, and the points by kinds.
 *
 * @returns undefined for a round that would not come back the same
 */
export function formatChecked(source: RoundFileState, round: Round): Buffer | undefined {
  if (holdsNegativeZero(round)) return undefined;
  const owners = listOwners(round);
  const names = [...new Set(owners.flatMap(({ curves }) => Object.keys(curves)))];
  const columns = names.map((kind): Buffer => {
    const column: Column = owners.map(({ curves }) =>
      Object.hasOwn(curves, kind) ? Object.values(curves[kind]).filter(Array.isArray) : null,
    );
    return Buffer.from(formatAsciiJson(column));
  });
  const body = Buffer.from(formatAsciiJson(withoutPoints(round)));
  const contents: Contents = {
    source,
    roundBytes: body.length,
    kinds: names.map((kind, k) => [kind, columns[k].length]),
  };
  const rest = Buffer.concat([Buffer.from(`${formatAsciiJson(contents)}\n`), body, ...columns]);
  return Buffer.concat([
    Buffer.from(`${checkedStart}${versions}"sum":${zlib.crc32(rest)}}\n`),
    rest,
  ]);
}

/**
 * Reads a checked round back.
 *
 * @param isCurrent whether the file that it was made from is still the same
 * @returns undefined if it is not, or for bytes that are damaged or another version's
 */
export function parseChecked(
  bytes: Buffer,
  isCurrent: (source: RoundFileState) => boolean,
): Round | undefined {
  const end = bytes.indexOf(0x0a) + 1;
  const rest = bytes.subarray(end);
  const first = `${checkedStart}${versions}"sum":${zlib.crc32(rest)}}\n`;
  if (bytes.toString("latin1", 0, end) !== first) return undefined;
  let at = rest.indexOf(0x0a) + 1;
  const { source, roundBytes, kinds } = parseAsciiJson<Contents>(rest.subarray(0, at));
  if (!isCurrent(source)) return undefined;
  const take = (length: number) => {
    at += length;
    return rest.subarray(at - length, at);
  };
  const { sets, round } = parseAsciiJson<Bare>(take(roundBytes));
  const columns = new Map(kinds.map(([kind, length]) => [kind, readOnce(take(length))]));
  listOwners(round).forEach((owner, place) => {
    const set = sets[owner.curves as unknown as number];
    const curves: Curves = {};
    for (const [kind, form] of set) {
      const column = columns.get(kind);
      defineLazily(curves, kind, () => createCurve(form, () => column?.()[place] ?? []));
    }
    (owner as { curves: Curves }).curves = curves;
  });
  return round;
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

/** A curve whose lists are looked up when one of them is looked at. */
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

function readOnce(bytes: Buffer): () => Column {
  let column: Column | undefined;
  return () => (column ??= parseAsciiJson<Column>(bytes));
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
