import { median } from "../dsp/robust.js";
import { isBound } from "../measure/is-bound.js";
import { getReadingId, type ReadingId, readingKinds } from "../measure/reading-kinds.js";
import type { Measurement } from "../measure/types.js";
import type { Unheard } from "../not-measured.js";
import type { FamilyStats, PathToRank } from "../rank/family-stats.js";
import { computeDeviation } from "../rank/rank.js";
import { assumedResponseStdDevDb, grantLowResponse } from "../rank/responses.js";
import { scoreSiblingDeviation } from "../rank/robust-stats.js";
import type { Finding } from "../rank/types.js";
import type { ResponseDeviation } from "./response-deviation.js";
import { fitBell, fitLevelBreak, type LevelBreak } from "./shapes.js";

/** How one reading of a path differs from its siblings'. */
export interface Feature {
  readonly name: string;
  readonly unit: string;
  readonly deviation: number;
  /** Standard deviation of a healthy path's deviation. */
  readonly spread: number;
}

/** A path with everything by which its causes are judged. */
export interface PathEvidence {
  readonly path: string;
  readonly findings: readonly Finding[];
  readonly unheard: Unheard | undefined;
  readonly measurement: Measurement | undefined;
  /** The usual values of its family. */
  readonly usual: FamilyStats | undefined;
  readonly features: ReadonlyMap<ReadingId, Feature>;
  readonly response: ResponseDeviation | undefined;
  /** Level at the path's input socket at nominal, dBu, if the desk file says so. */
  readonly inputDbu: number | undefined;
  /** The usual values of the desk's other families. */
  readonly others: readonly OtherFamily[];
  /** The other side of the bus, if one pan feeds both. */
  readonly beside?: OtherSide;
}

/** How the other side of a stereo bus differs from its siblings. */
export interface OtherSide {
  /** Whether any of the signal comes through on it. */
  readonly heard: boolean;
  readonly features: ReadonlyMap<ReadingId, Feature>;
  readonly response: ResponseDeviation | undefined;
}

export interface OtherFamily {
  readonly name: string;
  readonly usual: FamilyStats;
}

/** What a path is compared with. */
export interface PathReference {
  /** The usual values of its family; undefined for a family too small to have any. */
  readonly usual: FamilyStats | undefined;
  /** Level at its socket at nominal, dBu. */
  readonly inputDbu?: number | undefined;
  readonly others?: readonly OtherFamily[];
  /** The other side of the bus and the usual values of its family; only if one pan feeds both. */
  readonly beside?: { readonly input: PathToRank; readonly usual: FamilyStats | undefined };
}

/**
 * A reading of one of two states does not scatter among healthy siblings, and is not made if
 * doubtful: its smallest difference is this many spreads.
 */
const certain = 10;

/**
 * Brings a ranked path together with how it differs from its family.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const family = [0, 0.1, -0.1, 0.05, -0.05].map((gainDb, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: of(gainDb),
 * }));
 * const usual = computeFamilyStats(family);
 * const path = buildPathEvidence({ path: "7/mic", family: "mic", measurement: of(-10) }, [], { usual });
 * path.features.get("gain").deviation; // -10
 */
export function buildPathEvidence(
  input: PathToRank,
  findings: readonly Finding[],
  { usual, inputDbu, others = [], beside }: PathReference,
): PathEvidence {
  const { path, measurement, unheard } = input;
  const features = featuresOf(measurement, usual);
  // A finding below the band is judged by the readings that found it; scatter of capacitors is not
  // a cause.
  const found = findings.some(({ atHz, reading }) => reading === responseId && isBelow(atHz));
  const response = responseDifference(measurement, usual, found);
  return {
    path,
    findings,
    unheard,
    measurement,
    usual,
    features,
    response,
    inputDbu,
    others,
    ...(beside === undefined ? {} : { beside: otherSide(beside) }),
  };
}

/** The id of a finding in the response, as ranking names it. */
const responseId: Finding["reading"] = "response";
const isBelow = (hz: number | undefined) => hz !== undefined && hz < bandFromHz;

function otherSide({ input, usual }: NonNullable<PathReference["beside"]>): OtherSide {
  const { measurement } = input;
  return {
    heard: measurement !== undefined,
    features: featuresOf(measurement, usual),
    response: responseDifference(measurement, usual),
  };
}

function featuresOf(
  measurement: Measurement | undefined,
  usual: FamilyStats | undefined,
): ReadonlyMap<ReadingId, Feature> {
  const features = new Map<ReadingId, Feature>();
  for (const kind of readingKinds) {
    const reading = measurement?.readings[kind.id];
    const found = reading && computeDeviation(kind, reading, usual);
    if (!found) continue;
    const { deviation } = found;
    const spread = kind.values ? Math.min(found.spread, kind.least / certain) : found.spread;
    features.set(kind.id, { name: kind.name, unit: kind.unit, deviation, spread });
  }
  const slopeId = getReadingId("noise-slope");
  const slope = features.get(slopeId);
  const rumble = slope && scoreRumble(measurement, usual);
  if (slope && rumble !== undefined && slope.deviation < 0) {
    const spread = Math.min(slope.spread, -slope.deviation / Math.max(rumble, Number.MIN_VALUE));
    features.set(slopeId, { ...slope, spread });
  }
  return features;
}

/** Third octaves without a mains harmonic, hertz. */
const rumbleHz = [18, 42] as const;
/**
 * Ranges in which noise is hiss, hertz; the upper one is used if 1/f noise reaches into the lower
 * one.
 */
const hissHz = [
  [400, 2000],
  [4000, 16_000],
] as const;
/**
 * 1/f noise that reaches that far is at least this much higher at the low end than in the lower
 * range, decibels.
 */
const leastRumbleDb = 3;
/** Scatter allowed to any healthy noise spectrum, decibels. */
const grantedNoiseDb = 1;
/** If the response is boosted there by more than this, so is the noise, decibels. */
const liftedDb = 1;

/**
 * How clearly the noise below 42 Hz exceeds the siblings' by more than the hiss does, in spreads:
 * the median over those third octaves. A slope over four octaves, most of them hiss, shows that
 * there is more at the low end; the spectrum itself shows how certain that is.
 *
 * @returns undefined if the noise there is no higher than the siblings', or if the response boosts
 *   it
 */
function scoreRumble(
  measurement: Measurement | undefined,
  usual: FamilyStats | undefined,
): number | undefined {
  const noise = measurement?.curves.noise;
  const crowd = usual?.curves.noise;
  if (!noise || !crowd) return undefined;
  const response = responseDifference(measurement, usual);
  const lifted = response?.x.some(
    (hz, i) => hz >= bandFromHz && hz <= rumbleHz[1] && response.y[i] > liftedDb,
  );
  if (lifted) return undefined;
  const riseOver = ([fromHz, toHz]: readonly [number, number]) => {
    const rises = noise.x.flatMap((hz, i) => {
      const usualDb = crowd.points[i]?.median;
      return usualDb === undefined || hz < fromHz || hz > toHz ? [] : [noise.y[i] - usualDb];
    });
    return rises.length === 0 ? 0 : Math.max(0, median(rises));
  };
  const [near, far] = hissHz.map(riseOver);
  // Hiss that is higher everywhere is not rumble.
  const hissDb = riseOver(rumbleHz) > near + leastRumbleDb ? Math.min(near, far) : near;
  const scores = noise.x.flatMap((hz, i) => {
    const scatter = crowd.points[i];
    if (!scatter || hz < rumbleHz[0] || hz > rumbleHz[1]) return [];
    const value = noise.y[i] - hissDb;
    const own = noise.uncertainty[i];
    return [scoreSiblingDeviation(value, scatter, own, grantedNoiseDb, usual.excess).score];
  });
  if (scores.length < 2) return undefined;
  const middle = median(scores);
  return middle > 0 ? middle : undefined;
}

/** The audible band begins here; below it the response shows only capacitors, hertz. */
export const bandFromHz = 20;

/** The response below the band and within it as one curve of rising frequencies. */
function responseDifference(
  measurement: Measurement | undefined,
  usual: FamilyStats | undefined,
  foundBelow = false,
): ResponseDeviation | undefined {
  const within = differenceOf("response", measurement, usual);
  if (!within) return undefined;
  const below = differenceOf("responseLow", measurement, usual, foundBelow);
  if (!below) return within;
  const both = (key: keyof ResponseDeviation) => [...(below[key] ?? []), ...(within[key] ?? [])];
  return {
    x: both("x"),
    y: both("y"),
    spread: both("spread"),
    uncertainty: both("uncertainty"),
    siblings: both("siblings"),
  };
}

/** Fewer siblings than this do not show their scatter. */
const fewestToScatter = 4;

function differenceOf(
  name: "response" | "responseLow",
  measurement: Measurement | undefined,
  usual: FamilyStats | undefined,
  byCapacitors = false,
): ResponseDeviation | undefined {
  const curve = measurement?.curves[name];
  const crowd = usual?.curves[name];
  if (!curve || !crowd) return undefined;
  const x: number[] = [];
  const y: number[] = [];
  const spread: number[] = [];
  const uncertainty: number[] = [];
  const siblings: number[] = [];
  const cornerHz = usual.readings[getReadingId("lower-corner")]?.median;
  curve.x.forEach((hz, i) => {
    const scatter = crowd.points[i];
    if (!scatter) return;
    const found = scoreSiblingDeviation(
      curve.y[i],
      scatter,
      curve.uncertainty[i],
      byCapacitors ? grantLowResponse(hz, cornerHz) : assumedResponseStdDevDb,
      usual.excess,
    );
    x.push(hz);
    y.push(found.deviation);
    spread.push(found.spread);
    uncertainty.push(curve.uncertainty[i] / 2);
    siblings.push(scatter.count < fewestToScatter ? Number.POSITIVE_INFINITY : scatter.scale);
  });
  return { x, y, spread, uncertainty, siblings };
}

/**
 * Whether a reading shows how the path differs: not if it and its siblings' are bounds, since one
 * bound is above or below another by chance.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const family = [0, 0.1, -0.1, 0.05, -0.05].map((gainDb, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: of(gainDb),
 * }));
 * const usual = computeFamilyStats(family);
 * const path = buildPathEvidence({ path: "7/mic", family: "mic", measurement: of(-10) }, [], { usual });
 *
 * isTelling(path, "gain"); // true
 * isTelling(path, "thd"); // false
 */
export function isTelling(path: PathEvidence, id: ReadingId): boolean {
  const reading = path.measurement?.readings[id];
  if (!reading || !path.features.has(id)) return false;
  return !(isBound(reading) && path.usual?.bounded?.has(id));
}

/**
 * Deviation of a reading in its own unit; undefined if it was not made or cannot be judged.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const family = [0, 0.1, -0.1, 0.05, -0.05].map((gainDb, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: of(gainDb),
 * }));
 * const usual = computeFamilyStats(family);
 * const path = buildPathEvidence({ path: "7/mic", family: "mic", measurement: of(-10) }, [], { usual });
 *
 * getDeviation(path, "gain"); // -10
 * getDeviation(path, "thd"); // undefined
 */
export function getDeviation(
  path: Pick<PathEvidence, "features">,
  id: ReadingId,
): number | undefined {
  return path.features.get(id)?.deviation;
}

/** From this deviation on, in standard deviations, a reading is an outlier. */
export const clearScore = 3.5;

/**
 * Whether a reading is an outlier on one side of its siblings.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const family = [0, 0.1, -0.1, 0.05, -0.05].map((gainDb, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: of(gainDb),
 * }));
 * const usual = computeFamilyStats(family);
 * const path = buildPathEvidence({ path: "7/mic", family: "mic", measurement: of(-10) }, [], { usual });
 *
 * isOutlier(path, "gain", "down"); // true
 * isOutlier(path, "gain", "up"); // false
 */
export function isOutlier(
  path: Pick<PathEvidence, "features">,
  id: ReadingId,
  side: "up" | "down",
): boolean {
  const feature = path.features.get(id);
  if (!feature) return false;
  const score = feature.deviation / feature.spread;
  return side === "up" ? score > clearScore : score < -clearScore;
}

/** An undisturbed level fluctuates by less than this, decibels r.m.s. (common practice). */
const stillDb = 0.01;
const timesSiblings = 5;

/**
 * Whether the tone's level fluctuates, however little, while its siblings' does not: a healthy part
 * never causes that, although it is far less than would matter in itself.
 *
 * @example
 * const of = (value) => ({ value, unit: "dB", uncertainty: 0.001 });
 * const usual = { readings: { instability: { count: 20, median: 0.001, scale: 0.0002 } } };
 * hasFlutter({ measurement: { readings: { instability: of(0.1) } }, usual }); // true
 * hasFlutter({ measurement: { readings: { instability: of(0.004) } }, usual }); // false
 */
export function hasFlutter({ measurement, usual }: PathEvidence): boolean {
  const id = getReadingId("fluctuation");
  const reading = measurement?.readings[id];
  const siblings = usual?.readings[id];
  if (!reading || !siblings || reading.bound !== undefined) return false;
  const most = timesSiblings * Math.max(siblings.median, siblings.scale);
  return reading.value - reading.uncertainty > Math.max(stillDb, most);
}

/** Small signals that lose more than this count as swallowed, decibels. */
const swallowedDb = 1;

/**
 * Whether small signals vanish while large ones pass, and siblings keep theirs: a gap or a film
 * does that, noise does not.
 *
 * @example
 * const features = (db) => new Map([["linearity", { name: "", unit: "dB", deviation: db, spread: 0.1 }]]);
 * swallowsSmall({ features: features(-6) }); // true
 * swallowsSmall({ features: features(0.2) }); // false
 */
export function swallowsSmall(path: Pick<PathEvidence, "features">): boolean {
  const id = getReadingId("step-gain");
  const lost = path.features.get(id)?.deviation;
  return lost !== undefined && lost < -swallowedDb && isOutlier(path, id, "down");
}

/**
 * Noise of a device has the kurtosis of Gaussian noise, or exceeds it by less than this, decibels.
 */
const burstyDb = 0.6;

/**
 * Whether noise comes in crackles, steps or bursts while its siblings' is as even as Gaussian
 * noise: intermittent, leaking or popping parts do that, a healthy device does not.
 *
 * @example
 * const feature = (deviation) => ({ name: "", unit: "dB", deviation, spread: 0.1 });
 * isBursty({ features: new Map([["burstiness", feature(6)]]) }); // true
 * isBursty({ features: new Map([["burstiness", feature(0.2)]]) }); // false
 */
export function isBursty(path: Pick<PathEvidence, "features">): boolean {
  const id = getReadingId("burstiness");
  return (getDeviation(path, id) ?? 0) > burstyDb && isOutlier(path, id, "up");
}

/** A smaller rise of the noise can occur on any path, decibels. */
const hissyDb = 4;
/** Crackle falls with frequency by this much at least, decibels per octave. */
const crackleSlope = -0.5;
/**
 * An unsteady contact modulates hum that has risen by this much, and the sidebands are as even as
 * hiss, decibels.
 */
const shakenHumDb = 6;

/**
 * Whether noise has risen in a way that a contact cannot cause: crackle is stronger at low
 * frequencies (steps, whose density falls with the square of frequency), and an unsteady contact
 * modulates hum. Even hiss comes from a device.
 *
 * @example
 * const feature = (deviation) => ({ name: "", unit: "dB", deviation, spread: 0.5 });
 * const features = new Map([["hiss", feature(12)], ["noiseSlope", feature(0)]]);
 * isEvenHiss({ features }); // true
 */
export function isEvenHiss(path: Pick<PathEvidence, "features">): boolean {
  const hissId = getReadingId("hiss");
  const hiss = getDeviation(path, hissId);
  const slope = getDeviation(path, getReadingId("noise-slope"));
  if (hiss === undefined || slope === undefined || !isOutlier(path, hissId, "up")) return false;
  if (isBursty(path)) return false;
  const hum =
    getDeviation(path, getReadingId("odd-hum")) ?? getDeviation(path, getReadingId("hum")) ?? 0;
  return hiss > hissyDb && slope > crackleSlope && hum < shakenHumDb;
}

/**
 * Largest response difference between two frequencies, with its sign; 0 without a curve.
 *
 * @example
 * const response = { x: [20, 100, 1000, 10_000], y: [-3, -1, 0, 2], spread: [0.5, 0.5, 0.5, 0.5] };
 *
 * findLargestDifference({ response }, 20, 20_000); // -3
 * findLargestDifference({ response }, 500, 20_000); // 2
 */
export function findLargestDifference(path: PathEvidence, fromHz: number, toHz: number): number {
  let most = 0;
  path.response?.x.forEach((hz, i) => {
    const db = path.response?.y[i] ?? 0;
    if (hz >= fromHz && hz <= toHz && Math.abs(db) > Math.abs(most)) most = db;
  });
  return most;
}

/**
 * Largest response difference in units of a healthy path's spread.
 *
 * @example
 * const response = { x: [20, 100, 1000, 10_000], y: [-3, -1, 0, 2], spread: [0.5, 0.5, 0.5, 0.5] };
 * findLargestCurveScore({ response }, 20, 20_000); // -6
 */
export function findLargestCurveScore(path: PathEvidence, fromHz: number, toHz: number): number {
  let most = 0;
  path.response?.x.forEach((hz, i) => {
    const { y, spread } = path.response as ResponseDeviation;
    const score = y[i] / spread[i];
    if (hz >= fromHz && hz <= toHz && Math.abs(score) > Math.abs(most)) most = score;
  });
  return most;
}

/**
 * A filter's slope changes slowly: a step between neighbours of the 1/24-octave grid that differs by
 * this much from those an eighth of an octave around it does not come from a filter, decibels.
 */
const leastJumpDb = 0.3;
const around = 3;
/** Nor does measurement ripple cause a jump of this many spreads. */
const leastJumpSpreads = 4;
/**
 * The flanks of a narrow bell are steep too, but evenly steep: a jump is this many times steeper.
 */
const leastOfFlank = 2.5;

/**
 * How far the level jumped during the sweep, decibels: an intermittent contact does that to the
 * response, a filter does not.
 *
 * @returns undefined for a response without jumps
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 *
 * const of = (shape) => ({ x, y: x.map(shape), uncertainty: x.map(() => 0.01) });
 * // 2 dB less for half an octave; a high-pass of 100 Hz jumps nowhere.
 * findLevelJumps({ response: of((hz) => (hz > 2000 && hz < 2800 ? -2 : 0)) }); // 2
 * findLevelJumps({ response: of((hz) => -powerToDb(1 + (100 / hz) ** 2)) }); // undefined
 */
export function findLevelJumps(path: PathEvidence): number | undefined {
  const curve = path.response;
  if (!curve) return undefined;
  const { y, uncertainty } = curve;
  const step = (i: number) => y[i] - y[i - 1];
  const first = Math.max(
    0,
    curve.x.findIndex((hz) => hz >= bandFromHz),
  );
  for (let i = first + around + 1; i < y.length - around; i++) {
    const [before, after] = [step(i - around), step(i + around)];
    const jump = Math.abs(step(i) - (before + after) / 2);
    if (Math.abs(step(i)) < leastOfFlank * Math.max(Math.abs(before), Math.abs(after))) continue;
    const noise = Math.hypot(uncertainty[i], uncertainty[i - 1]);
    if (jump > leastJumpDb && jump > leastJumpSpreads * noise) {
      return y.reduce((most, db) => Math.max(most, Math.abs(db)), 0);
    }
  }
  return undefined;
}

/**
 * A break in the sweep is at least this deep, decibels, and fits with less than this share of a
 * bell's misfit.
 */
const leastSweepBreakDb = 0.4;
const shareOfBell = 0.6;

/**
 * Where the level broke and recovered during the sweep.
 *
 * @returns undefined if it did not, or if an equaliser's bell would fit as well
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 *
 * const of = (shape) => ({ x, y: x.map(shape) });
 * findSweepBreak({ response: of((hz) => (hz > 2000 && hz < 4000 ? -2 : 0)) }).db.toFixed(1); // "-2.0"
 * findSweepBreak({ response: of(() => 0) }); // undefined
 */
export function findSweepBreak({ response }: PathEvidence): LevelBreak | undefined {
  if (!response || response.y.every((db) => Math.abs(db) < leastSweepBreakDb)) return undefined;
  const found = fitLevelBreak(response);
  if (!found || Math.abs(found.db) < leastSweepBreakDb) return undefined;
  const bell = fitBell(response).restDb;
  return found.restDb < shareOfBell * bell ? found : undefined;
}

/**
 * A break of the level in the level steps is at least this deep, decibels, and this many
 * uncertainties.
 */
const leastBreakDb = 0.15;
const leastBreakUncertainties = 3;

/**
 * How deep the level broke while a tone rose in steps, before it recovered, decibels: a faulty
 * stage may lose small signals or compress large ones, but only a break loses those in between.
 *
 * @returns undefined if it did not, or if there are no level steps
 * @example
 * const step = (aboveNominalDb, gainDb) => ({ aboveNominalDb, gainDb, uncertainty: 0.01 });
 * const steps = [step(-20, 0), step(-10, -1), step(0, 0)];
 * findBrokenStep({ measurement: { steps } }).toFixed(2); // "-0.99"
 * findBrokenStep({ measurement: {} }); // undefined
 */
export function findBrokenStep({ measurement }: PathEvidence): number | undefined {
  const steps = measurement?.steps;
  if (!steps) return undefined;
  let deepest = 0;
  steps.forEach(({ gainDb, uncertainty }, i) => {
    const beside = (side: typeof steps) => side.map((one) => one.gainDb - one.uncertainty);
    const [below, above] = [steps.slice(0, i), steps.slice(i + 1)].map(beside);
    // The lower of the highest levels before and after it; none is lost where there are none.
    const lost = gainDb - Math.min(Math.max(...below), Math.max(...above));
    const least = Math.max(leastBreakDb, leastBreakUncertainties * uncertainty);
    if (lost < -least && lost < deepest) deepest = lost;
  });
  return deepest < 0 ? deepest : undefined;
}

/** Even mains harmonics rise no further than the odd ones plus this, decibels. */
const besideOddDb = 10;

/**
 * How far the even mains harmonics may rise by pick-up in a cable, decibels: fields and earth
 * currents have odd harmonics, so even ones stay below those and rise little more. Even harmonics
 * above the odd ones come from a supply (common practice).
 *
 * @returns infinity if odd harmonics were not read
 * @example
 * const dbfs = (value) => ({ value, unit: "dBFS", uncertainty: 0.1 });
 * const up = (deviation) => ({ name: "", unit: "dB", deviation, spread: 3 });
 * const features = new Map([["humOdd", up(1)], ["humEven", up(30)]]);
 * const readings = { humOdd: dbfs(-100), humEven: dbfs(-85) };
 * mostEvenBesideOdd({ features, measurement: { readings } }); // 11
 */
export function mostEvenBesideOdd(path: Pick<PathEvidence, "features" | "measurement">): number {
  const [oddId, evenId] = [getReadingId("odd-hum"), getReadingId("even-hum")];
  const [odd, even] = [oddId, evenId].map((id) => path.measurement?.readings[id]);
  const oddDb = getDeviation(path, oddId);
  const evenDb = getDeviation(path, evenId);
  const along = oddDb === undefined ? Number.POSITIVE_INFINITY : Math.max(0, oddDb) + besideOddDb;
  // An odd harmonic that was not seen is at most at its bound.
  if (!odd || !even || evenDb === undefined || even.bound !== undefined) return along;
  return Math.min(along, Math.max(0, evenDb - Math.max(0, even.value - odd.value)));
}

/**
 * Share of the noise power that is mains hum, 0 to 1; undefined if either was not read.
 *
 * @example
 * const dbfs = (value) => ({ value, unit: "dBFS", uncertainty: 0.1 });
 * computeHumShare({ measurement: { readings: { hum: dbfs(-90), noise: dbfs(-80) } } }); // 0.1
 * computeHumShare({}); // undefined
 */
export function computeHumShare(path: PathEvidence): number | undefined {
  const hum = path.measurement?.readings[getReadingId("hum")];
  const noise = path.measurement?.readings[getReadingId("noise")];
  if (!hum || !noise || hum.limitedBy === "noise") return undefined;
  return Math.min(1, 10 ** ((hum.value - noise.value) / 10));
}
