import { dbToPower } from "../../dsp/decibels.js";
import { median } from "../../dsp/robust.js";
import { groupBy } from "../../text/group-by.js";
import { aspectFacets, isMovedByLevel } from "./aspect-facets.js";
import type { Candidate } from "./list-candidates.js";
import { getReadiness, isEqualOnInputs } from "./part-kinds.js";
import { type Row, rows } from "./rows.js";
import { computeSharedScatter } from "./shared-scatter.js";
import type { PlacedInput, SharedAspect } from "./types.js";

/** A row of a family, read on all its paths once. */
export interface RowValues {
  readonly row: Row;
  readonly family: string;
  readonly paths: readonly {
    readonly path: string;
    readonly strip: string;
    /** Position of the strip in the desk, from 0. */
    readonly place: number;
    readonly value: number;
    readonly isBound: boolean;
  }[];
}

/** What a candidate's paths have in common in one row of one family. */
export interface MovedRow {
  readonly row: Row;
  readonly family: string;
  readonly inside: number;
  readonly outside: number;
  /** inside − outside, in the row's unit. */
  readonly deviation: number;
  /** Nats by which a shared difference explains it better than separate faults. */
  readonly nats: number;
  /** Paths inside that are closer to the others inside than to those outside. */
  readonly showing: readonly string[];
}

/** How well a shared part explains its paths. */
export interface Score {
  readonly candidate: Candidate;
  /** Natural logarithm of the odds of the shared part to separate faults. */
  readonly logOdds: number;
  /**
   * The same, for a set selected by its readings, relative to one kind of strips with wide scatter.
   */
  readonly logOddsApart: number;
  readonly moved: readonly MovedRow[];
  /** Aspects that the part moves, the most significant first. */
  readonly aspects: readonly SharedAspect[];
}

/** Nats; cost of assuming a separate fault of a path or strip, which explains anything. */
const mostPerPath = 6;
const mostPerStrip = 10;
const mostPerStripInAll = 12;
/** Nats; cost of each aspect of a shared part, whose size is free. */
const costPerAspect = 3;
/** Degrees of freedom of the prior scatter. */
const priorFreedom = 5;
const fewestEachSide = 2;
/** Decibels; a part that adds the same power to all inputs does so within this. */
const equalWithinDb = 4;
const unequalCost = -5;
/** Decibels; a master level moves level and noise equally within this. */
const togetherDb = 1;
/** Decibels; standard deviation of inputs fed at the same level by the run sheet. */
const betweenInputsDb = 0.7;
/**
 * Share of an input's paths that must be at one level for it to count as recorded at that level.
 */
const leastTogether = 0.75;

/**
 * A shared effect is similar on most paths: within this many deviations of their median, on this
 * share of them.
 */
const fitsWithin = 3;
const leastFit = 0.6;
/** With fewer strips showing it, an unnamed set counts as separate faults. */
const leastUnnamed = 3;

/**
 * Reads every row of every family, in order of appearance.
 *
 * @param strips in the desk's physical order
 * @example
 * const path = (strip, value) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: { readings: { gain: { value, unit: "dB", uncertainty: 0.01 } }, absent: {}, curves: {} },
 * });
 * const paths = [path("1", 0), path("2", -3), path("3", 0), path("4", 0)];
 * const read = readRows(paths, ["1", "2", "3", "4"]);
 * const levels = read.find(({ row }) => row.reading === "gain");
 * levels.paths.map(({ value }) => value); // [0, -3, 0, 0]
 */
export function readRows(
  paths: readonly PlacedInput[],
  strips: readonly string[],
): readonly RowValues[] {
  const places = new Map(strips.map((strip, place) => [strip, place]));
  const families = groupBy(paths, ({ family }) => family);
  return rows.flatMap((row) =>
    [...families].flatMap(([family, members]) => {
      const read = members.flatMap((path) => {
        const value = row.read(path);
        const { path: name, strip } = path;
        return value === undefined
          ? []
          : [
              {
                path: name,
                strip,
                place: places.get(strip) ?? 0,
                value,
                isBound: row.isBound(path),
              },
            ];
      });
      return read.length < 2 * fewestEachSide ? [] : [{ row, family, paths: read }];
    }),
  );
}

/**
 * Weighs a fault in a shared part against separate faults of the strips. In every row of a family,
 * the paths inside the set are compared with their own median and with that of the paths outside,
 * both with the heavy tail of Student's t, ν = 4, cut off at the cost of a separate fault; so a few
 * faulty strips inside or outside the set do not decide. An aspect counts by its most significant
 * row, and a strip once however many inputs and aspects show it, since one separate fault would
 * explain them all. Against that count the prior of the set, and a cost for each aspect, whose size
 * is not known beforehand (as in Bayes factors; R. E. Kass, A. E. Raftery, J. Am. Stat. Assoc.
 * 90(430), 1995).
 *
 * @example
 * const strips = ["1", "2", "3", "4", "5", "6", "7", "8"];
 * const paths = strips.map((strip, k) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: {
 *     readings: { gain: { value: k < 4 ? -6 : 0, unit: "dB", uncertainty: 0.01 } },
 *     absent: {},
 *     curves: {},
 *   },
 * }));
 * const members = new Set(paths.slice(0, 4).map(({ path }) => path));
 * const candidate = { part: { kind: "ribbon", name: "A" }, members, logPrior: Math.log(0.15) };
 * const score = scoreCandidate(candidate, readRows(paths, strips));
 * score.aspects; // ["level"]
 * score.logOdds > 4; // true
 */
export function scoreCandidate(candidate: Candidate, values: readonly RowValues[]): Score {
  const best = new Map<SharedAspect, Sides>();
  const moved: MovedRow[] = [];
  const byRow = groupByRow(values);
  for (const own of byRow) {
    const found =
      candidate.isThrough && isLinear(own[0].row)
        ? comparePooled(candidate, own)
        : own.flatMap((one) => compareSides(candidate, one) ?? []);
    if (found.length === 0) continue;
    moved.push(...found.map((one) => one.moved));
    const { row } = own[0];
    const sides = {
      inside: sumByStrip(found.map(({ inside }) => inside)),
      outside: sumByStrip(found.map(({ outside }) => outside)),
      apart: isUnnamed(candidate)
        ? weighPartings(candidate, row, keepFamilies(own, found))
        : Number.POSITIVE_INFINITY,
    };
    const { aspect } = row;
    const known = best.get(aspect);
    if (!known || natsOf(sides) > natsOf(known)) best.set(aspect, sides);
  }
  const gainedDb = medianDeviation(moved, "level") ?? 0;
  const noisierDb = medianDeviation(moved, "noise") ?? 0;
  const telling = [...best]
    .filter(([, sides]) => natsOf(sides) > costPerAspect)
    .filter(([aspect]) => !goesWithLevel(aspect, moved, gainedDb))
    .filter(([aspect]) => !drownsInNoise(aspect, moved, noisierDb))
    .filter(([aspect]) => !staysBehind(aspect, moved, gainedDb))
    .sort((a, b) => natsOf(b[1]) - natsOf(a[1]));
  const shown = telling.map(([aspect]) => aspect);
  // A changed level also changes everything else heard: it still counts as the level.
  const first =
    candidate.part.kind === "level" && shown.includes("level") ? ["level" as const] : [];
  const aspects = [...first, ...shown.filter((one) => !first.includes(one as "level"))];
  const [aspect] = aspects;
  const kept = moved.filter(({ row }) => aspects.includes(row.aspect));
  if (aspect === undefined) {
    const none = Number.NEGATIVE_INFINITY;
    return { candidate, logOdds: none, logOddsApart: none, moved: kept, aspects };
  }
  const all = telling.map(([, sides]) => sides);
  const { kind } = candidate.part;
  const beside =
    candidate.logPrior -
    costPerAspect * telling.length +
    getReadiness(kind, aspect) +
    equalityOdds(candidate, aspect, kept) +
    (kind === "level" ? touchedOdds(candidate, aspects, kept, byRow) : 0) +
    (kept.some(({ row, deviation }) => row.aspect === "level" && deviation > 0) ? gainedLevel : 0);
  const nats = Math.min(
    total(sumByStrip(all.map(({ inside }) => inside)), mostPerStripInAll),
    total(sumByStrip(all.map(({ outside }) => outside)), mostPerStripInAll),
  );
  const apart = all.reduce((sum, one) => sum + one.apart, 0);
  return {
    candidate,
    logOdds: beside + nats,
    logOddsApart: beside + Math.min(nats, apart),
    moved: kept,
    aspects,
  };
}

/** Whether noise and hum rise only with the level: then they are not a separate aspect. */
function goesWithLevel(
  aspect: SharedAspect,
  moved: readonly MovedRow[],
  gainedDb: number,
): boolean {
  if (aspect === "level" || !isMovedByLevel(aspect) || gainedDb <= 0) return false;
  return (medianDeviation(moved, aspect) ?? 0) <= gainedDb + togetherDb;
}

/** Decibels; a larger loss is more than a setting. */
const lossDb = -6;

/** Harmonics are given against the tone: where that is lost, what stays behind weighs the more by as much. */
function staysBehind(aspect: SharedAspect, moved: readonly MovedRow[], gainedDb: number): boolean {
  if (aspectFacets[aspect].adds !== "harmonics" || gainedDb > lossDb) return false;
  return (medianDeviation(moved, aspect) ?? 0) <= togetherDb - gainedDb;
}

/** Whether mains lines rise no more than the hiss: then they are hidden by it. */
function drownsInNoise(
  aspect: SharedAspect,
  moved: readonly MovedRow[],
  noisierDb: number,
): boolean {
  if (aspect !== "hum-odd" && aspect !== "hum-even") return false;
  return noisierDb > 0 && (medianDeviation(moved, aspect) ?? 0) <= noisierDb + togetherDb;
}

function medianDeviation(moved: readonly MovedRow[], aspect: SharedAspect): number | undefined {
  const own = moved.flatMap(({ row, deviation }) => (row.aspect === aspect ? [deviation] : []));
  return own.length === 0 ? undefined : median(own);
}

/** Nats; a fault usually loses level, so a gain on many paths is less likely. */
const gainedLevel = -6;

type ByStrip = ReadonlyMap<string, number>;

/**
 * Nats by strip for a shared difference: of the strips inside, if those outside are good, and of
 * those outside, if those inside are good. A shared fault must explain more than the side that
 * needs fewer separate faults.
 */
interface Sides {
  readonly inside: ByStrip;
  readonly outside: ByStrip;
  /** Nats for two kinds of strips rather than one that scatters widely. */
  readonly apart: number;
}

function natsOf({ inside, outside, apart }: Sides): number {
  return Math.min(total(inside, mostPerStrip), total(outside, mostPerStrip), apart);
}

function total(byStrip: ByStrip, most: number): number {
  let sum = 0;
  for (const nats of byStrip.values()) sum += clamp(nats, most);
  return sum;
}

function sumByStrip(lists: readonly ByStrip[]): ByStrip {
  const sums = new Map<string, number>();
  for (const list of lists) {
    for (const [strip, nats] of list) sums.set(strip, (sums.get(strip) ?? 0) + nats);
  }
  return sums;
}

const clamp = (nats: number, most: number) => Math.max(-most, Math.min(most, nats));

function groupByRow(values: readonly RowValues[]): readonly (readonly RowValues[])[] {
  return [...groupBy(values, ({ row }) => row).values()];
}

/** Whether a set was selected by its readings, not by the desk file. */
const isUnnamed = ({ part }: Candidate) => part.kind === "bank" && part.name === undefined;

/** The families of a row in which a candidate moved something. */
function keepFamilies(
  own: readonly RowValues[],
  found: readonly { readonly moved: MovedRow }[],
): readonly RowValues[] {
  return own.filter(({ family }) => found.some(({ moved }) => moved.family === family));
}

/** Steps in which a wider scatter is tried, and as how wide at most, in that within the sets. */
const scatterStep = 1.25;
const widestScatter = 50;

/** Uses all inputs together, or the one that shows it best. */
function weighPartings(candidate: Candidate, row: Row, families: readonly RowValues[]): number {
  const some = families.length < 2 ? [] : families.map((one) => [one]);
  return Math.max(...[families, ...some].map((own) => weighParting(candidate, row, own)));
}

/**
 * Nats by which a row shows two kinds of strips, each with its own median, rather than one kind
 * with wider scatter. A set selected by its readings differs from the others even if all are of one
 * kind: the worst three of twelve are always worse. A strip counts once, by the mean of its inputs,
 * since shared stages move all of them.
 */
function weighParting({ members }: Candidate, row: Row, families: readonly RowValues[]): number {
  const byStrip = new Map<string, { sum: number; count: number; isInside: boolean }>();
  for (const { paths } of families) {
    const middle = median(paths.map(({ value }) => value));
    for (const { path, strip, value } of paths) {
      const own = byStrip.get(strip) ?? { sum: 0, count: 0, isInside: false };
      own.sum += value - middle;
      own.count++;
      own.isInside ||= members.has(path);
      byStrip.set(strip, own);
    }
  }
  const figures = [...byStrip.values()].map(({ sum, count, isInside }) => ({
    value: sum / count,
    isInside,
  }));
  const inside = figures.flatMap((one) => (one.isInside ? [one.value] : []));
  const outside = figures.flatMap((one) => (one.isInside ? [] : [one.value]));
  if (inside.length < fewestEachSide || outside.length < fewestEachSide) {
    return Number.POSITIVE_INFINITY;
  }
  const aboutOwn = [inside, outside].flatMap((side) => {
    const own = median(side);
    return side.map((value) => value - own);
  });
  const within = moderateScatter(row.scatter, aboutOwn);
  const asTwo = sumPrices(aboutOwn, within);
  const middle = median(figures.map(({ value }) => value));
  const aboutAll = figures.map(({ value }) => value - middle);
  let asOne = Number.POSITIVE_INFINITY;
  for (let wider = 1; wider <= widestScatter; wider *= scatterStep) {
    const cost = sumPrices(aboutAll, wider * within) + figures.length * Math.log(wider);
    asOne = Math.min(asOne, cost);
  }
  return asOne - asTwo;
}

function sumPrices(deviations: readonly number[], scatter: number): number {
  return deviations.reduce((sum, deviation) => sum + price(deviation / scatter), 0);
}

/** Effects without added signal are the same for every input through an output or bus. */
const isLinear = ({ aspect }: Row) => aspectFacets[aspect].adds === undefined;

/**
 * Compares all families of a row together, each relative to its own paths outside the set: two
 * paths of each input, one of which is faulty, show nothing separately, but together they do.
 */
function comparePooled(candidate: Candidate, own: readonly RowValues[]) {
  const { members } = candidate;
  const known = own.flatMap((one) => {
    const without = one.paths.filter(({ path }) => !members.has(path));
    const count = one.paths.length - without.length;
    if (without.length < fewestEachSide || count === 0) return [];
    return [{ ...one, count, middle: median(without.map(({ value }) => value)) }];
  });
  if (known.length === 0) return [];
  const [{ row }] = own;
  const isTurn = row.aspect === "polarity";
  const paths = known.flatMap(({ paths: all, middle }) =>
    all.map((path) => ({
      ...path,
      value: isTurn ? path.value * Math.sign(middle) : path.value - middle,
    })),
  );
  const main = known.reduce((a, b) => (b.count > a.count ? b : a));
  const found = compareSides(candidate, { row, family: main.family, paths });
  if (found === undefined) return [];
  const { inside, outside } = found.moved;
  const back = (value: number) => (isTurn ? value * Math.sign(main.middle) : value + main.middle);
  const moved = {
    ...found.moved,
    inside: back(inside),
    outside: back(outside),
    deviation: back(inside) - back(outside),
  };
  return [{ ...found, moved }];
}

function compareSides({ members, part }: Candidate, { row, family, paths }: RowValues) {
  const within = paths.filter(({ path }) => members.has(path));
  const without = paths.filter(({ path }) => !members.has(path));
  if (within.length < fewestEachSide || without.length < fewestEachSide) return undefined;
  const inside = median(within.map(({ value }) => value));
  const outside = median(without.map(({ value }) => value));
  const deviation = inside - outside;
  const either = part.kind === "level" && isMovedByLevel(row.aspect);
  if (!isMoved(either ? { ...row, harm: "both" } : row, deviation)) return undefined;
  if (within.filter(({ isBound }) => isBound).length * 2 > within.length) return undefined;
  if (row.aspect === "hum-odd" && findStep(within, without) < leastStepDb) return undefined;
  const spread = pooledScatter(row, within, inside, without, outside);
  const loose = Math.hypot(spread, computeSharedScatter(row.aspect, deviation));
  const fits = within.filter(({ value }) => Math.abs(value - inside) <= fitsWithin * loose).length;
  const leastFits = part.kind === "bank" && part.name === undefined ? leastUnnamed : 0;
  if (fits < Math.max(leastFits, leastFit * within.length)) return undefined;
  const gains = (side: RowValues["paths"], own: number, other: number) => {
    const strips = new Map<string, number>();
    for (const { strip, value } of side) {
      const shared = price((value - own) / loose) + Math.log(loose / spread);
      const nats = price((value - other) / spread) - Math.min(mostPerPath, shared);
      strips.set(strip, (strips.get(strip) ?? 0) + nats);
    }
    return strips;
  };
  const sides: Omit<Sides, "apart"> = {
    inside: gains(within, inside, outside),
    outside: gains(without, outside, inside),
  };
  const moved: MovedRow = {
    row,
    family,
    inside,
    outside,
    deviation,
    nats: natsOf({ ...sides, apart: Number.POSITIVE_INFINITY }),
    showing: within.flatMap(({ path, value }) =>
      Math.abs(value - inside) < Math.abs(value - outside) ? [path] : [],
    ),
  };
  return { ...sides, moved };
}

/**
 * Decibels; an external field decreases along the desk without a step: odd mains lines without a
 * step of this size between neighbours come from a field.
 */
const leastStepDb = 8;
/** Strips within this distance of one on the other side are used for the step. */
const beside = 2;
const near = 3;

/** Difference of the strips at the edges of a set from their neighbours outside it. */
function findStep(within: RowValues["paths"], without: RowValues["paths"]): number {
  const steps = within.flatMap(({ place, value }) => {
    const others = without.filter((one) => Math.abs(one.place - place) <= near);
    if (!others.some((one) => Math.abs(one.place - place) <= beside)) return [];
    return [value - median(others.map((one) => one.value))];
  });
  return steps.length === 0 ? Number.POSITIVE_INFINITY : median(steps);
}

function isMoved({ harm, least }: Pick<Row, "harm" | "least">, deviation: number): boolean {
  if (Math.abs(deviation) < least) return false;
  return harm === "both" || (harm === "up") === deviation > 0;
}

/** Cost of a value in nats, never more than that of a separate fault. */
function price(t: number): number {
  return Math.min(mostPerPath, 2.5 * Math.log1p((t * t) / 4));
}

/**
 * Standard deviation of a normal distribution divided by its median absolute deviation, 1/Φ⁻¹(3/4).
 */
const toDeviation = 1.4826;

/** Scatter about both medians, moderated by the prior. */
function pooledScatter(
  { scatter }: Row,
  within: RowValues["paths"],
  inside: number,
  without: RowValues["paths"],
  outside: number,
): number {
  const rest = [
    ...within.map(({ value }) => value - inside),
    ...without.map(({ value }) => value - outside),
  ];
  return moderateScatter(scatter, rest);
}

function moderateScatter(scatter: number, rest: readonly number[]): number {
  const freedom = Math.max(1, rest.length - 2);
  const seen = toDeviation * median(rest.map(Math.abs));
  return Math.sqrt((priorFreedom * scatter ** 2 + freedom * seen ** 2) / (priorFreedom + freedom));
}

/** Log-odds for equal power on each input, as from a part after the inputs join. */
function equalityOdds(
  { part }: Candidate,
  aspect: SharedAspect,
  moved: readonly MovedRow[],
): number {
  if (!isEqualOnInputs(part.kind, aspect)) return 0;
  const [first] = moved.filter(({ row }) => row.aspect === aspect);
  const added = moved.flatMap(({ row, inside, outside }) =>
    row === first?.row ? [10 * Math.log10(dbToPower(inside) - dbToPower(outside))] : [],
  );
  return Math.max(...added) - Math.min(...added) > equalWithinDb ? unequalCost : 0;
}

/**
 * Log-odds for a changed master level: it moves everything equally, on all inputs recorded later.
 */
function touchedOdds(
  { members }: Candidate,
  aspects: readonly SharedAspect[],
  moved: readonly MovedRow[],
  byRow: readonly (readonly RowValues[])[],
): number {
  const level = moved.find(({ row }) => row.aspect === "level");
  if (level === undefined || !aspects.every(isMovedByLevel)) return -mostPerStripInAll;
  let odds = 0;
  for (const { row, deviation } of moved) {
    if (row.aspect === "level") continue;
    if (Math.abs(deviation - level.deviation) > togetherDb) odds -= 2;
  }
  for (const { row, paths } of byRow.flat()) {
    if (row.aspect !== "level") continue;
    const inside = paths.filter(({ path }) => members.has(path)).length;
    if (inside > 0 && inside < paths.length) continue;
    const middle = median(paths.map(({ value }) => value));
    const near = paths.filter(({ value }) => Math.abs(value - middle) <= 2 * betweenInputsDb);
    if (near.length < leastTogether * paths.length) {
      // An input recorded in one go differs as a whole: a level changed elsewhere does not explain
      // that.
      odds -= mostPerPath;
      continue;
    }
    const [expected, other] =
      inside > 0 ? [level.inside, level.outside] : [level.outside, level.inside];
    odds +=
      price((middle - other) / betweenInputsDb) - price((middle - expected) / betweenInputsDb);
  }
  return odds;
}
