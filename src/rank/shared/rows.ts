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
  /** Direction in which it moves with a fault. */
  readonly harm: HarmDirection;
  /**
   * Prior standard deviation of a healthy family, in the row's unit (common practice, no source).
   */
  readonly scatter: number;
  /** Smallest shared difference that matters. */
  readonly least: number;
  /** Smallest change since an earlier round that matters; that of the aspect when absent. */
  readonly leastChange?: number;
  /** The desk file's expectation that applies to it; none when absent. */
  readonly expected?: SharedReadingFacet["expected"];
  /** Undefined if the path has no such value. */
  readonly read: (path: PathToRank) => number | undefined;
  /** The figure as measured, where `read` gives it another value for what drowns it. */
  readonly readPlain?: (path: PathToRank) => number | undefined;
  /** Whether the value is only an upper bound. */
  readonly isBound: (path: PathToRank) => boolean;
}

/** A row with its position among all. */
interface OrderedRow {
  readonly order: number;
  readonly row: Row;
}

/** Readings of one group, in order: if a profile lacks one, the next is used. */
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
 * Which mains lines a row is about; undefined if it is about none.
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
 * Decibels; mains lines this far below the hiss are inaudible, and their scatter means nothing. Odd
 * lines come from a field, which varies with place and cable; even ones from a supply. With hiss at
 * 30 dB, the level of a quiet room, they are at 20 and 12 dB: near or below the threshold of
 * hearing, which is 44.0 dB at 50 Hz, 26.5 at 100, 17.9 at 160 and 14.4 at 200 (ISO 226:2003, from
 * memory).
 */
const unheardDb = { odd: 10, even: 18 } as const;

/** Mains lines, limited to the level where the path's hiss hides them. */
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

/** Readings of mains lines, with the lines that dominate them. */
export const humLines: ReadonlyMap<string, "odd" | "even"> = new Map([
  [getReadingId("hum"), "odd"],
  [getReadingId("odd-hum"), "odd"],
  [getReadingId("even-hum"), "even"],
]);

/**
 * Sum of the power of mains lines and that of hiss some decibels lower, decibels.
 *
 * @example
 * // Odd lines 10 dB below the hiss are as loud as its floor for them: twice the power.
 * floorHum(-100, -90, "odd"); // -96.98970
 */
export function floorHum(humDb: number, hissDb: number, lines: "odd" | "even"): number {
  return 10 * Math.log10(dbToPower(humDb) + dbToPower(hissDb - unheardDb[lines]));
}

/** Averaging range on either side: half a third of an octave. */
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
  // Loud sound in place of the signal says nothing about whether a part is dead.
  read: ({ measurement, unheard, loud }) => {
    if (unheard !== undefined) return loud === undefined ? 1 : undefined;
    return measurement === undefined ? undefined : 0;
  },
  isBound: () => false,
};

/**
 * The figures by which shared faults are recognised, from the facets of readings and curves: one
 * row for each way of measuring an aspect.
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
 * Whether two aspects may come from one fault.
 *
 * @example
 * isSameMechanism("hum-odd", "hum-even"); // true
 * isSameMechanism("noise", "polarity"); // false
 */
export function isSameMechanism(a: SharedAspect, b: SharedAspect): boolean {
  return a === b || mechanisms.some((own) => own.includes(a) && own.includes(b));
}

/**
 * Smallest shared difference in a reading that matters; in its unit.
 *
 * @example
 * getSharedLeast("gain", "level"); // 1.2
 * getSharedLeast("polarity", "polarity"); // 1
 */
export function getSharedLeast(reading: string, aspect: SharedAspect): number {
  const own = rows.filter((row) => row.aspect === aspect);
  return (own.find((row) => row.reading === reading) ?? own[0]).least;
}
