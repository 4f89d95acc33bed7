import { readingKinds } from "../measure/registry.js";
import type { Measurement } from "../measure/types.js";
import type { RankedInput, Usual } from "../rank/families.js";
import { deviationOf } from "../rank/rank.js";
import { grantedResponseDb } from "../rank/responses.js";
import { siblingDistance } from "../rank/scatter.js";
import type { Finding } from "../rank/types.js";

/** How one reading of a path differs from its siblings'. */
export interface Feature {
  readonly name: string;
  readonly unit: string;
  readonly deviation: number;
  /** Standard deviation of a healthy path's deviation. */
  readonly spread: number;
}

/** How the response differs from the family's median curve, point by point. */
export interface CurveDifference {
  readonly x: readonly number[];
  /** Decibels. */
  readonly y: readonly number[];
  readonly spread: readonly number[];
  /** Of the path's own measurement, standard deviations. */
  readonly uncertainty: readonly number[];
}

/** A path with all that its causes are judged by. */
export interface PathCase {
  readonly path: string;
  readonly findings: readonly Finding[];
  readonly unheard: string | undefined;
  readonly measurement: Measurement | undefined;
  /** What is usual in its family. */
  readonly usual: Usual | undefined;
  readonly features: ReadonlyMap<string, Feature>;
  readonly response: CurveDifference | undefined;
  /** Level at the path's input socket at nominal, dBu, when the desk file tells. */
  readonly inputDbu: number | undefined;
  /** What is usual in the desk's other families. */
  readonly others: readonly OtherFamily[];
}

export interface OtherFamily {
  readonly name: string;
  readonly usual: Usual;
}

/** What a path is seen against. */
export interface Surroundings {
  /** What is usual in its family; undefined for a family too small to have a usual. */
  readonly usual: Usual | undefined;
  /** Level at its socket at nominal, dBu. */
  readonly inputDbu?: number | undefined;
  readonly others?: readonly OtherFamily[];
}

/** Brings a ranked path together with how it differs from its family. */
export function pathCase(
  input: RankedInput,
  findings: readonly Finding[],
  { usual, inputDbu, others = [] }: Surroundings,
): PathCase {
  const { path, measurement, unheard } = input;
  const features = new Map<string, Feature>();
  for (const kind of readingKinds) {
    const reading = measurement?.readings[kind.id];
    const found = reading && deviationOf(kind, reading, usual);
    if (!found) continue;
    const { deviation, spread } = found;
    features.set(kind.id, { name: kind.name, unit: kind.unit, deviation, spread });
  }
  const response = responseDifference(measurement, usual);
  return { path, findings, unheard, measurement, usual, features, response, inputDbu, others };
}

function responseDifference(
  measurement: Measurement | undefined,
  usual: Usual | undefined,
): CurveDifference | undefined {
  const curve = measurement?.curves.response;
  const crowd = usual?.curves.response;
  if (!curve || !crowd) return undefined;
  const x: number[] = [];
  const y: number[] = [];
  const spread: number[] = [];
  const uncertainty: number[] = [];
  curve.x.forEach((hz, i) => {
    const scatter = crowd.points[i];
    if (!scatter) return;
    const found = siblingDistance(
      curve.y[i],
      scatter,
      curve.uncertainty[i],
      grantedResponseDb,
      usual.excess,
    );
    x.push(hz);
    y.push(found.deviation);
    spread.push(found.spread);
    uncertainty.push(curve.uncertainty[i] / 2);
  });
  return { x, y, spread, uncertainty };
}

/** Deviation of a reading in its own unit; undefined where it was not made or cannot be judged. */
export function deviation(path: PathCase, id: string): number | undefined {
  return path.features.get(id)?.deviation;
}

/** Deviations in standard deviations from which a feature is worth a word. */
export const clearScore = 3.5;

/** Whether a reading stands clear of its siblings on one side. */
export function stands(path: PathCase, id: string, side: "up" | "down"): boolean {
  const feature = path.features.get(id);
  if (!feature) return false;
  const score = feature.deviation / feature.spread;
  return side === "up" ? score > clearScore : score < -clearScore;
}

/** A level that nothing shakes fluctuates by less than this, decibels r.m.s. (common practice). */
const stillDb = 0.01;
const timesSiblings = 5;

/**
 * Whether the tone's level fluctuates, by however little, where its siblings' does not: what no part
 * that is whole does, and far less than would matter by itself.
 */
export function flutters({ measurement, usual }: PathCase): boolean {
  const reading = measurement?.readings.instability;
  const siblings = usual?.readings.instability;
  if (!reading || !siblings || reading.bound !== undefined) return false;
  const most = timesSiblings * Math.max(siblings.median, siblings.scale);
  return reading.value - reading.uncertainty > Math.max(stillDb, most);
}

/** Largest response difference between two frequencies, with its sign; 0 without a curve. */
export function largestDifference(path: PathCase, fromHz: number, toHz: number): number {
  let most = 0;
  path.response?.x.forEach((hz, i) => {
    const db = path.response?.y[i] ?? 0;
    if (hz >= fromHz && hz <= toHz && Math.abs(db) > Math.abs(most)) most = db;
  });
  return most;
}

/** Largest response difference in units of a healthy path's spread. */
export function largestCurveScore(path: PathCase, fromHz: number, toHz: number): number {
  let most = 0;
  path.response?.x.forEach((hz, i) => {
    const { y, spread } = path.response as CurveDifference;
    const score = y[i] / spread[i];
    if (hz >= fromHz && hz <= toHz && Math.abs(score) > Math.abs(most)) most = score;
  });
  return most;
}

/**
 * A filter's slope changes slowly: a step between neighbours of the 1/24-octave grid that differs by
 * this much from those an eighth of an octave around it is none of a filter's, decibels.
 */
const leastJumpDb = 0.3;
const around = 3;
/** Nor do ripples of measurement make a jump of so many spreads. */
const leastJumpSpreads = 4;

/**
 * How far a level that jumps while the sweep passes went, decibels: what a contact that makes and
 * breaks does to the response, and no filter.
 *
 * @returns undefined for a response without jumps
 */
export function levelJumps(path: PathCase): number | undefined {
  const curve = path.response;
  if (!curve) return undefined;
  const { y, uncertainty } = curve;
  const step = (i: number) => y[i] - y[i - 1];
  for (let i = around + 1; i < y.length - around; i++) {
    const jump = Math.abs(step(i) - (step(i - around) + step(i + around)) / 2);
    const noise = Math.hypot(uncertainty[i], uncertainty[i - 1]);
    if (jump > leastJumpDb && jump > leastJumpSpreads * noise) {
      return y.reduce((most, db) => Math.max(most, Math.abs(db)), 0);
    }
  }
  return undefined;
}

/** Share of the noise power that is mains hum, 0 to 1; undefined where either was not read. */
export function humShare(path: PathCase): number | undefined {
  const hum = path.measurement?.readings.hum;
  const noise = path.measurement?.readings.noise;
  if (!hum || !noise || hum.limitedBy === "noise") return undefined;
  return Math.min(1, 10 ** ((hum.value - noise.value) / 10));
}
