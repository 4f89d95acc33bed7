import { dbPerNeper } from "../dsp/decibels.js";
import { median } from "../dsp/robust.js";
import { getReadingId } from "../measure/reading-kinds.js";
import type { Curve } from "../measure/types.js";
import type { FamilyCurve, FamilyMembers, FamilyStats } from "./family-stats.js";
import { priorInAssumed, scoreSiblingDeviation } from "./robust-stats.js";
import { classifySeverity, getThresholdFactor } from "./severity.js";
import type { Finding } from "./types.js";

/** A path's response relative to its family's median curve in one part of the band. */
interface CurveFinding {
  readonly path: string;
  /** Which part of the band. */
  readonly part: "below" | "low" | "middle" | "high";
  /** Size of the largest sustained score. */
  readonly harmful: number;
  readonly finding?: Finding;
}

/** The band is judged in three parts, so that one curve gives three findings at most. */
const parts = [
  { part: "low", fromHz: 0, toHz: 250 },
  { part: "middle", fromHz: 250, toHz: 5000 },
  { part: "high", fromHz: 5000, toHz: Number.POSITIVE_INFINITY },
] as const;

/** Smallest difference that matters, decibels. */
export const responseLeastDb = 0.6;
export const assumedResponseStdDevDb = responseLeastDb / 4;
/** A difference must hold over this many neighbouring points of the 1/24-octave grid. */
const sustained = 5;

/**
 * Compares responses as curves: at every frequency the siblings' median and robust scale, and for
 * each part of the band the largest difference shared by neighbouring points.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const flat = { x, y: x.map(() => 0), uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" };
 * // A first-order high-pass of 100 Hz: −14.15 dB at 20 Hz.
 * const cut = { ...flat, y: x.map((hz) => -powerToDb(1 + (100 / hz) ** 2)) };
 * const family = [flat, flat, flat, flat, flat, cut].map((response, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: { readings: {}, absent: {}, curves: { response } },
 * }));
 * const found = compareResponses(family, computeFamilyStats(family)).filter(({ finding }) => finding);
 * found[0].path; // "6/mic"
 * found[0].part; // "low"
 */
export function compareResponses(
  family: FamilyMembers,
  usual: FamilyStats | undefined,
): readonly CurveFinding[] {
  const crowd = usual?.curves.response?.points;
  if (!crowd) return [];
  const rows = family.flatMap(({ path, measurement }) => {
    const curve = measurement.curves.response;
    return curve ? [{ path, measurement, curve }] : [];
  });
  return rows.flatMap(({ path, measurement, curve }) => {
    const shift = findReferenceShift(curve, crowd);
    const within = parts.flatMap(({ part, fromHz, toHz }) => {
      const worst = worstIn(curve, crowd, usual.excess, shift, { fromHz, toHz });
      return worst ? [{ path, part, ...worst }] : [];
    });
    // An audible loss reports it already.
    const heard = within.find(({ part }) => part === "low")?.finding;
    if (heard && heard.severity !== "remark") return within;
    return [...within, ...belowBand(path, measurement, usual, shift)];
  });
}

/** Decibels; least loss below the band: inaudible, but it shows ageing. */
const lowLeastDb = 1;
/** Points there are 1.25 Hz or more apart, and have independent noise. */
export const lowSustained = 3;
/**
 * Less is enough where the corner itself has gone up so far: in a row of capacitors, some of which stay
 * where they are, that is one with a third to three fifths of its value left.
 */
export const lowMovedDb = 0.3;
export const movedTimes = 1.6;
/** Capacitors scatter by this share, standard deviation, and levels below the band by no less than this, decibels (common practice). */
const capacitanceShare = 0.12;
const leastLowStdDevDb = 0.05;

/**
 * Standard deviation assumed for a healthy family below the band, decibels: the effect of capacitor
 * scatter on a first-order roll-off, (20/ln 10)·δ·u/(1 + u) with u = (fc/f)². Nothing else affects
 * it there.
 *
 * @param cornerHz of the family; undefined if not measured
 * @example
 * // As for the band above where no corner is known.
 * grantLowResponse(8, undefined); // 0.15
 * // A corner of 8 Hz at 8 Hz: half of the slope, 12 % of 4.34 dB, and half of that is granted.
 * grantLowResponse(8, 8).toFixed(2); // "0.26"
 */
export function grantLowResponse(hz: number, cornerHz: number | undefined): number {
  if (cornerHz === undefined || !(cornerHz > 0)) return assumedResponseStdDevDb;
  const u = (cornerHz / hz) ** 2;
  const scattered = (dbPerNeper * capacitanceShare * u) / (1 + u);
  return Math.max(leastLowStdDevDb, scattered) / priorInAssumed;
}

/**
 * A loss below 20 Hz that a healthy capacitor does not have: only to be watched, since it is not
 * audible yet.
 */
function belowBand(
  path: string,
  { readings, curves }: FamilyMembers[number]["measurement"],
  { curves: usual, excess, readings: usualReadings }: FamilyStats,
  shift: number,
): readonly CurveFinding[] {
  const crowd = usual.responseLow?.points;
  const curve = curves.responseLow;
  if (!curve || !crowd) return [];
  const id = getReadingId("lower-corner");
  const cornerHz = usualReadings[id]?.median;
  const own = readings[id];
  const moved =
    cornerHz !== undefined &&
    own !== undefined &&
    own.value - own.uncertainty > movedTimes * cornerHz;
  const below = { fromHz: 0, toHz: Number.POSITIVE_INFINITY, sustainedOver: lowSustained };
  const plain = worstIn(curve, crowd, excess, shift, { ...below, leastDb: lowLeastDb });
  // A remark may be only the scatter allowed for any response; capacitors have less.
  const called = plain?.finding !== undefined && plain.finding.severity !== "remark";
  const byCorner =
    !called && moved
      ? worstIn(curve, crowd, excess, shift, {
          ...below,
          leastDb: lowMovedDb,
          granted: (hz) => grantLowResponse(hz, cornerHz),
        })
      : undefined;
  const worst = byCorner?.finding ? byCorner : plain;
  const { finding } = worst ?? {};
  if (!worst || !finding || finding.deviation > 0) return [];
  const severity = finding.severity === "service" ? "watch" : finding.severity;
  return [{ path, part: "below", ...worst, finding: { ...finding, severity } }];
}

/** A plateau is this wide, decibels to either side, and the shift is twice as much or more. */
const plateauDb = 0.5;
/**
 * Least share of the band, in octaves, that a plateau covers, and its ratio to the share at 0 dB.
 */
const plateauShare = 0.5;
const plateauTimes = 2;

/**
 * If the level at 1 kHz, the reference of a response, is itself what differs, everything else is on
 * a plateau relative to its siblings; this returns its height, decibels. A bell near 1 kHz then
 * counts as a bell, not as a loss of everything else.
 *
 * @returns 0 if most of the response agrees with its siblings, or there is no plateau
 */
function findReferenceShift(curve: Curve, crowd: FamilyCurve["points"]): number {
  const off = curve.y.flatMap((y, i) => {
    const scatter = crowd[i];
    return scatter ? [y - scatter.median] : [];
  });
  const near = (db: number) => off.filter((one) => Math.abs(one - db) <= plateauDb).length;
  const sorted = [...off].sort((a, b) => a - b);
  // The densest interval of that width.
  let best = 0;
  let most = 0;
  for (let from = 0, to = 0; from < sorted.length; from++) {
    while (to < sorted.length && sorted[to] - sorted[from] <= 2 * plateauDb) to++;
    if (to - from > most) {
      most = to - from;
      best = median(sorted.slice(from, to));
    }
  }
  const enough = most >= plateauShare * off.length && most >= plateauTimes * near(0);
  return enough && Math.abs(best) > 2 * plateauDb ? best : 0;
}

interface WorstOptions {
  readonly fromHz: number;
  readonly toHz: number;
  readonly leastDb?: number;
  readonly sustainedOver?: number;
  /** Standard deviation assumed for any healthy family, decibels. */
  readonly granted?: (hz: number) => number;
}

function worstIn(
  curve: Curve,
  crowd: FamilyCurve["points"],
  excess: number,
  shift: number,
  {
    fromHz,
    toHz,
    leastDb = responseLeastDb,
    sustainedOver = sustained,
    granted = () => assumedResponseStdDevDb,
  }: WorstOptions,
) {
  const scores: { score: number; significance: number; deviation: number; i: number }[] = [];
  curve.x.forEach((hz, i) => {
    const scatter = crowd[i];
    if (hz < fromHz || hz >= toHz || !scatter) return;
    scores.push({
      ...scoreSiblingDeviation(
        curve.y[i] - shift,
        scatter,
        curve.uncertainty[i],
        granted(hz),
        excess,
      ),
      i,
    });
  });
  let worst: { significance: number; deviation: number; score: number; i: number } | undefined;
  for (let first = 0; first + sustainedOver <= scores.length; first++) {
    const run = scores.slice(first, first + sustainedOver);
    const sign = Math.sign(run[0].score);
    if (run.some((r) => Math.sign(r.score) !== sign)) continue;
    const weakest = run.reduce((a, b) => (Math.abs(b.score) < Math.abs(a.score) ? b : a));
    if (!worst || Math.abs(weakest.score) > Math.abs(worst.score)) {
      const largest = run.reduce((a, b) => (Math.abs(b.deviation) > Math.abs(a.deviation) ? b : a));
      worst = { ...largest, score: weakest.score, significance: weakest.significance };
    }
  }
  if (!worst) return undefined;
  const { score, significance, deviation, i } = worst;
  const count = crowd[i]?.count ?? 0;
  const least = leastDb * getThresholdFactor(count);
  // Of two that differ, the one with less level is more likely faulty.
  const harmful = count > 1 || deviation < 0;
  const severity = classifySeverity(significance, deviation, least, harmful);
  const atHz = curve.x[i];
  const finding: Finding | undefined = severity && {
    reading: "response",
    against: "siblings",
    value: curve.y[i],
    expected: curve.y[i] - deviation,
    deviation,
    unit: "dB",
    score,
    severity,
    observation: { code: "deviates", siblings: count },
    atHz,
  };
  return { harmful: harmful ? Math.abs(score) : 0, ...(finding ? { finding } : {}) };
}
