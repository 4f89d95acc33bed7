import type { Curve, Measurement } from "../measure/types.js";
import { type Scatter, scatterOf } from "./scatter.js";

/** A path as ranking sees it. */
export interface RankedInput {
  readonly path: string;
  readonly family: string;
  /** Absent for a path whose return could not be found or measured. */
  readonly measurement?: Measurement;
  /** Set where a capture was made for this path and nothing of the signal came back. */
  readonly unheard?: string;
  /** What was heard instead, where that was noise. */
  readonly silence?: Silence;
}

/** The noise of a capture without a return. */
export interface Silence {
  readonly aboveSiblingsDb: number;
  /**
   * How far its siblings' noise stands above that of the quietest family: what they add. Absent
   * where there is no other family.
   */
  readonly siblingsAboveQuietestDb?: number;
}

/** A family's measured paths. */
export type Siblings = readonly { readonly path: string; readonly measurement: Measurement }[];

/** Fewer siblings than this cannot outvote one another. */
export const leastSiblings = 3;

/** The measured paths by family, in the order in which families first appear. */
export function familiesOf(paths: readonly RankedInput[]): ReadonlyMap<string, Siblings> {
  const groups = new Map<string, { path: string; measurement: Measurement }[]>();
  for (const { path, family, measurement } of paths) {
    if (!measurement) continue;
    const group = groups.get(family) ?? [];
    group.push({ path, measurement });
    groups.set(family, group);
  }
  return groups;
}

/** What is usual in a family. */
export interface Usual {
  readonly count: number;
  /** Scatter of every reading that at least {@link leastSiblings} paths have. */
  readonly readings: Readonly<Record<string, Scatter>>;
  /** Every curve that at least {@link leastSiblings} paths have. */
  readonly curves: Readonly<Record<string, UsualCurve>>;
}

/** A family's curve: scatter at every point of the common grid. */
export interface UsualCurve {
  readonly x: readonly number[];
  /** Undefined at points that too few paths reach. */
  readonly points: readonly (Scatter | undefined)[];
}

/** The usual of a family; undefined when it is too small to have one. */
export function usualOf(family: Siblings): Usual | undefined {
  if (family.length < leastSiblings) return undefined;
  const ids = new Set(family.flatMap(({ measurement }) => Object.keys(measurement.readings)));
  const readings: Record<string, Scatter> = {};
  for (const id of ids) {
    const values = family.flatMap(({ measurement }) => measurement.readings[id]?.value ?? []);
    if (values.length >= leastSiblings) readings[id] = scatterOf(values);
  }
  const names = new Set(family.flatMap(({ measurement }) => Object.keys(measurement.curves)));
  const curves: Record<string, UsualCurve> = {};
  for (const name of names) {
    const own = family.flatMap(({ measurement }) => measurement.curves[name] ?? []);
    if (own.length >= leastSiblings) curves[name] = usualCurve(own);
  }
  return { count: family.length, readings, curves };
}

/** All curves of a round are read at the same points; one of a narrower signal ends earlier. */
function usualCurve(curves: readonly Curve[]): UsualCurve {
  const { x } = curves.reduce((a, b) => (b.x.length > a.x.length ? b : a));
  const points = x.map((_, i) => {
    const values = curves.flatMap((c) => (i < c.y.length ? [c.y[i]] : []));
    return values.length < leastSiblings ? undefined : scatterOf(values);
  });
  return { x, points };
}
