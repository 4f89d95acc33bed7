import { median } from "../../dsp/robust.js";
import { groupBy } from "../../text/group-by.js";
import { aspectFacets } from "./aspect-facets.js";
import { rows } from "./rows.js";
import type { PlacedInput, SharedPart, SharedStructure } from "./types.js";

/** Paths that may share a part. */
export interface Candidate {
  readonly part: SharedPart;
  readonly members: ReadonlySet<string>;
  /** Set for an output or a bus of passes: its effect on a level is the same for every input. */
  readonly isThrough?: true;
  /** Natural logarithm of the prior probability that exactly these have a fault in common. */
  readonly logPrior: number;
}

/** With fewer paths or strips, separate faults explain it as well. */
const leastPaths = 3;
const leastNamedStrips = 2;
const leastStrips = 3;

/**
 * Largest share of the strips for neighbours without a named shared part: if more differ from the
 * rest, the rest is odd.
 */
const mostUnnamedShare = 2 / 3;

/** About one desk in seven has a fault in what strips share (common practice, a guess). */
const sharedPrior = Math.log(0.15);

/**
 * Natural logarithm of the prior probability that a given named part is faulty.
 *
 * @param parts number of named parts
 * @example
 * // 0.15 for any of them, shared by two and one that nobody has named.
 * computePartPrior(2); // -2.99573
 */
export function computePartPrior(parts: number): number {
  return sharedPrior - Math.log(parts + 1);
}

/** A set that the desk file does not name: one in five. */
const unnamedPrior = Math.log(0.2);
/** A part on one input of its strips alone: one in four. */
const oneInputPrior = Math.log(0.25);

/**
 * Sets of paths that may share a faulty part: those that the desk file names, runs of neighbouring
 * strips, strips separated from the others by a reading, and everything recorded after some moment;
 * strips with all their inputs, or one of them.
 *
 * @param paths in the order of recording
 * @example
 * const measurement = { readings: {}, absent: {}, curves: {} };
 * const strips = ["1", "2", "3", "4", "5", "6", "7", "8"];
 * const paths = strips.map((strip) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement,
 * }));
 * const parts = [{ kind: "ribbon", name: "A", strips: ["1", "2", "3", "4"] }];
 * const [ribbon] = listCandidates(paths, { strips, parts });
 * ribbon.part; // { kind: "ribbon", name: "A", strips: ["1", "2", "3", "4"] }
 * ribbon.members.size; // 4
 */
export function listCandidates(
  paths: readonly PlacedInput[],
  structure: SharedStructure,
): readonly Candidate[] {
  const heard = paths.filter(({ measurement, unheard }) => measurement || unheard !== undefined);
  const strips = structure.strips.filter((strip) => heard.some((path) => path.strip === strip));
  const inputs = [...new Set(heard.map(({ input }) => input))];
  const spread = (part: SharedPart, own: readonly string[], logPrior: number): Candidate[] => {
    const within = new Set(own);
    const all = heard.filter(({ strip }) => within.has(strip));
    const whole = { part: { ...part, strips: own }, logPrior };
    const some = inputs.length < 2 ? [] : inputs;
    return [
      { ...whole, members: names(all) },
      ...some.map((input) => ({
        ...whole,
        members: names(all.filter((path) => path.input === input)),
        logPrior: logPrior + oneInputPrior,
      })),
    ].filter(({ members }) => members.size >= leastPaths);
  };
  const named = structure.parts.flatMap(
    ({ kind, name, strips: own, paths: through }): Candidate[] => {
      const prior = computePartPrior(structure.parts.length);
      if (through !== undefined) {
        const members = names(heard.filter(({ path }) => through.includes(path)));
        const isPart = members.size >= leastPaths && members.size < heard.length;
        return isPart ? [{ part: { kind, name }, members, isThrough: true, logPrior: prior }] : [];
      }
      const recorded = strips.filter((strip) => own.includes(strip));
      if (recorded.length < leastNamedStrips || recorded.length >= strips.length) return [];
      return spread({ kind, name }, recorded, prior);
    },
  );
  const runPrior = sharedPrior + unnamedPrior - Math.log(Math.max(1, countRuns(strips.length)));
  const neighbours = listRuns(strips, listStripSteps(heard, strips)).flatMap((run) =>
    spread({ kind: "bank" }, run, runPrior),
  );
  const parted = listPartings(heard, strips).flatMap((own) =>
    spread(
      { kind: "bank" },
      own,
      sharedPrior + unnamedPrior - logChoices(strips.length, own.length),
    ),
  );
  return [...named, ...neighbours, ...parted, ...(structure.levelHeld ? [] : listTouched(heard))];
}

const names = (paths: readonly PlacedInput[]) => new Set(paths.map(({ path }) => path));

/** Number of runs of neighbours that leave enough strips outside. */
function countRuns(strips: number): number {
  const longest = countMostUnnamed(strips);
  let count = 0;
  for (let length = leastStrips; length <= longest; length++) count += strips - length + 1;
  return count;
}

function countMostUnnamed(strips: number): number {
  return Math.floor(mostUnnamedShare * strips);
}

/** Runs of neighbours between steps of some row, or the ends of the desk. */
function listRuns(
  strips: readonly string[],
  steps: ReadonlySet<number>,
): readonly (readonly string[])[] {
  const ends = [0, ...steps, strips.length].sort((a, b) => a - b);
  return ends.flatMap((from) =>
    ends.flatMap((to) => {
      const length = to - from;
      return length < leastStrips || length > countMostUnnamed(strips.length)
        ? []
        : [strips.slice(from, to)];
    }),
  );
}

/** Number of values on either side used to detect a step. */
const besideStep = 3;
/** Share of a step that must remain if one of those values is faulty. */
const partOfStep = 0.6;

/** Positions in a list of values at which there is a relevant step. */
function listSteps(figures: readonly (number | undefined)[], least: number): readonly number[] {
  return figures.flatMap((_, at) => {
    const before = figures.slice(Math.max(0, at - besideStep), at).flatMap((one) => one ?? []);
    const after = figures.slice(at, at + besideStep).flatMap((one) => one ?? []);
    if (before.length === 0 || after.length === 0) return [];
    return Math.abs(median(after) - median(before)) >= partOfStep * least ? [at] : [];
  });
}

/** Positions between strips at which some row of some family steps. */
function listStripSteps(
  heard: readonly PlacedInput[],
  strips: readonly string[],
): ReadonlySet<number> {
  const families = groupByFamily(heard);
  const steps = new Set<number>();
  for (const row of rows) {
    for (const members of families) {
      const byStrip = new Map(members.map((path) => [path.strip, row.read(path)]));
      const figures = strips.map((strip) => byStrip.get(strip));
      for (const at of listSteps(figures, row.least)) steps.add(at);
    }
  }
  return steps;
}

function groupByFamily(heard: readonly PlacedInput[]): readonly (readonly PlacedInput[])[] {
  return [...groupBy(heard, ({ family }) => family).values()];
}

/** Strips on either side of the widest gap in a row's values. */
function listPartings(
  heard: readonly PlacedInput[],
  strips: readonly string[],
): readonly (readonly string[])[] {
  const found = new Map<string, readonly string[]>();
  for (const row of rows.filter(({ aspect }) => aspectFacets[aspect].isOfWork)) {
    const known = heard.flatMap((path) => {
      const value = row.read(path);
      return value === undefined ? [] : [{ family: path.family, value }];
    });
    const middle = new Map(
      [...groupBy(known, ({ family }) => family)].map(([family, own]) => [
        family,
        median(own.map(({ value }) => value)),
      ]),
    );
    const placed = strips.flatMap((strip) => {
      const own = heard.flatMap((path) => {
        const value = path.strip === strip ? row.read(path) : undefined;
        return value === undefined ? [] : [value - (middle.get(path.family) ?? 0)];
      });
      return own.length === 0 ? [] : [{ strip, value: median(own) }];
    });
    placed.sort((a, b) => a.value - b.value);
    let widest = { gap: 0, at: 0 };
    for (let at = leastStrips; at <= placed.length - leastStrips; at++) {
      const gap = placed[at].value - placed[at - 1].value;
      if (gap > widest.gap) widest = { gap, at };
    }
    if (widest.gap < row.least / 2) continue;
    for (const half of [placed.slice(0, widest.at), placed.slice(widest.at)]) {
      const own = strips.filter((strip) => half.some((one) => one.strip === strip));
      if (own.length > countMostUnnamed(strips.length)) continue;
      found.set(own.join("\n"), own);
    }
  }
  return [...found.values()];
}

/** ln of n over k: which strips were worked on is not known beforehand. */
function logChoices(n: number, k: number): number {
  let sum = 0;
  for (let i = 1; i <= k; i++) sum += Math.log((n - k + i) / i);
  return sum;
}

/** Candidates for a level changed during the round: everything recorded after some moment. */
function listTouched(heard: readonly PlacedInput[]): readonly Candidate[] {
  const level = rows.find(({ aspect }) => aspect === "level");
  if (level === undefined) return [];
  const logPrior = sharedPrior - Math.log(heard.length);
  const moments = groupByFamily(heard).flatMap((members) =>
    listSteps(members.map(level.read), level.least).map((at) => heard.indexOf(members[at])),
  );
  return [...new Set(moments)].map((at) => ({
    part: { kind: "level" },
    members: names(heard.slice(at)),
    logPrior,
  }));
}
