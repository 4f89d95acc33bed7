import { dbToPower } from "../../dsp/decibels.js";
import { curveKinds } from "../../measure/curve-kinds.js";
import type { HarmDirection, SharedReadingFacet } from "../../measure/reading-kind.js";
import { getReadingId, type ReadingId, readingKinds } from "../../measure/reading-kinds.js";
import type { Curve } from "../../measure/types.js";
import { groupBy } from "../../text/group-by.js";
import type { PathToRank } from "../family-stats.js";
import type { SharedAspect } from "./types.js";

/** One figure of a path by which a shared fault is recognised. */
export interface Row {
  readonly reading: string;
  readonly unit: string;
  readonly atHz?: number;
  readonly aspect: SharedAspect;
  /** Which way it moves when something fails. */
  readonly harm: HarmDirection;
  /** Standard deviation of a healthy family beforehand, in the row's unit (common practice). */
  readonly scatter: number;
  /** A shared difference smaller than this is of no concern. */
  readonly least: number;
  /** A change since an earlier round smaller than this is of none; the aspect's when left out. */
  readonly leastChange?: number;
  /** What the desk file's expectations hold it to; nothing of its own when left out. */
  readonly expected?: SharedReadingFacet["expected"];
  /** Undefined where the path has no such figure. */
  readonly read: (path: PathToRank) => number | undefined;
  /** The figure as measured, where `read` gives it another value for what drowns it. */
  readonly readPlain?: (path: PathToRank) => number | undefined;
  /** Whether the figure only says that the truth is below it. */
  readonly isBound: (path: PathToRank) => boolean;
}

/** A row with its place among all. */
interface OrderedRow {
  readonly order: number;
  readonly row: Row;
}

/** Readings of one group, in their order: where a profile lacks one the next serves. */
function ofReadings(ids: readonly ReadingId[], { shared, unit }: ReadingOfGroup): Row {
  const find = ({ measurement }: PathToRank) => {
    const id = ids.find((one) => measurement?.readings[one] !== undefined);
    return id === undefined ? undefined : measurement?.readings[id];
  };
  const { order: _, group: __, ...facet } = shared;
  const row: Row = {
    ...facet,
    reading: ids[0],
    unit: unit === "" ? "" : "dB",
    read: (path) => find(path)?.value,
    isBound: (path) => find(path)?.bound !== undefined,
  };
  const lines = linesOf(row);
  return lines === undefined ? row : { ...row, ...floored(row, lines) };
}

interface ReadingOfGroup {
  readonly shared: SharedReadingFacet;
  readonly unit: string;
}

/**
 * Which mains lines a row is about; undefined where it is about none.
 *
 * @example
 * linesOf({ aspect: "hum-even" }); // "even"
 * linesOf({ aspect: "noise" }); // undefined
 */
export function linesOf({ aspect }: Pick<Row, "aspect">): "odd" | "even" | undefined {
  if (aspect === "hum-odd") return "odd";
  return aspect === "hum-even" ? "even" : undefined;
}

/**
 * Mains lines this far below the hiss are not heard, and what they scatter says nothing, decibels.
 * Odd lines are a field's, which differs with place and cable; even ones are a supply's.
 *
 * With hiss at 30 dB, as loud as a quiet room, they lie at 20 and 12 dB: near or below the threshold of
 * hearing, which is 44.0 dB at 50 Hz, 26.5 at 100, 17.9 at 160 and 14.4 at 200 (ISO 226:2003, from
 * memory).
 */
const unheardDb = { odd: 10, even: 18 } as const;

/** Mains lines, no lower than where the path's own hiss drowns them. */
function floored({ read }: Row, lines: "odd" | "even"): Pick<Row, "read" | "readPlain"> {
  return {
    readPlain: read,
    read: (path) => {
      const value = read(path);
      const hiss = path.measurement?.readings[getReadingId("hiss")]?.value;
      return value === undefined || hiss === undefined ? value : floorHum(value, hiss, lines);
    },
  };
}

/** Readings of mains lines, and which lines they have above all. */
export const humLines: ReadonlyMap<string, "odd" | "even"> = new Map([
  [getReadingId("hum"), "odd"],
  [getReadingId("odd-hum"), "odd"],
  [getReadingId("even-hum"), "even"],
]);

/**
 * The power of mains lines with that of hiss some decibels lower, decibels.
 *
 * @example
 * // Odd lines 10 dB below the hiss are as loud as its floor for them: twice the power.
 * floorHum(-100, -90, "odd"); // -96.98970
 */
export function floorHum(humDb: number, hissDb: number, lines: "odd" | "even"): number {
  return 10 * Math.log10(dbToPower(humDb) + dbToPower(hissDb - unheardDb[lines]));
}

/** Half a third of an octave to either side is averaged. */
const around = 2 ** (1 / 6);

function meanAround(curve: Curve | undefined, hz: number): number | undefined {
  let sum = 0;
  let count = 0;
  curve?.x.forEach((x, i) => {
    if (x < hz / around || x > hz * around) return;
    sum += curve.y[i];
    count++;
  });
  return count === 0 ? undefined : sum / count;
}

function listReadingRows(): readonly OrderedRow[] {
  const kinds = readingKinds
    .flatMap(({ id, unit, shared }) => (shared === undefined ? [] : [{ id, unit, shared }]))
    .sort((a, b) => a.shared.order - b.shared.order);
  const groups = groupBy(kinds, ({ shared }) => shared.group);
  return [...groups.values()].map((group) => ({
    order: group[0].shared.order,
    row: ofReadings(
      group.map(({ id }) => id),
      group[0],
    ),
  }));
}

function listCurveRows(): readonly OrderedRow[] {
  return curveKinds.flatMap(({ id, shared }) =>
    (shared?.points ?? []).map(({ atHz, aspect }) => ({
      order: shared?.order ?? 0,
      row: {
        reading: id,
        unit: "dB",
        atHz,
        aspect,
        harm: "both",
        scatter: shared?.scatter ?? 0,
        least: shared?.least ?? 0,
        read: ({ measurement }) => measurement && meanAround(measurement.curves[id], atHz),
        isBound: () => false,
      },
    })),
  );
}

/** Whether anything came back at all. */
const silence: Row = {
  reading: "return",
  unit: "",
  aspect: "dead",
  harm: "up",
  scatter: 0.05,
  least: 0.5,
  // Loud sound in place of the signal is no dead part's: it says nothing about whether one is.
  read: ({ measurement, unheard, loud }) => {
    if (unheard !== undefined) return loud === undefined ? 1 : undefined;
    return measurement === undefined ? undefined : 0;
  },
  isBound: () => false,
};

/**
 * The figures by which shared faults are recognised, from the facets of readings and curves: one
 * row for each way of seeing an aspect.
 */
export const rows: readonly Row[] = [
  silence,
  ...[...listReadingRows(), ...listCurveRows()]
    .sort((a, b) => a.order - b.order)
    .map(({ row }) => row),
];

/** Aspects that one mechanism moves together. */
export const mechanisms: readonly (readonly SharedAspect[])[] = [
  ["hum-odd", "hum-even"],
  ["noise"],
  ["treble", "level"],
  ["bass"],
  ["distortion", "clipping"],
  ["polarity"],
];

/**
 * Whether two aspects may be of one fault.
 *
 * @example
 * isSameMechanism("hum-odd", "hum-even"); // true
 * isSameMechanism("noise", "polarity"); // false
 */
export function isSameMechanism(a: SharedAspect, b: SharedAspect): boolean {
  return a === b || mechanisms.some((own) => own.includes(a) && own.includes(b));
}

/**
 * A shared difference in a reading smaller than this is of no concern; in its unit.
 *
 * @example
 * getSharedLeast("gain", "level"); // 1.2
 * getSharedLeast("polarity", "polarity"); // 1
 */
export function getSharedLeast(reading: string, aspect: SharedAspect): number {
  const own = rows.filter((row) => row.aspect === aspect);
  return (own.find((row) => row.reading === reading) ?? own[0]).least;
}
