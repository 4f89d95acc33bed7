import { getReadingId, type ReadingId } from "../../measure/reading-kinds.js";
import { findLostCapacitance } from "../capacitance.js";
import { selectFeatures } from "../likelihood.js";
import { clearScore, isOutlier, type PathEvidence } from "../path-evidence.js";
import type { ResponseDeviation } from "../response-deviation.js";
import type { BandMove, CheckFigure } from "./check-figure.js";
import type { CheckKind, CheckOutcome } from "./check-kinds.js";

/** What became of a finding in a second recording. */
export interface CheckJudgement {
  /** `unclear` if it shows nothing: it gives the reason, and changes no cause. */
  readonly outcome: CheckOutcome | "unclear";
  /** What was seen; `report/check-figures` has the words. */
  readonly figures: readonly CheckFigure[];
}

/**
 * A deviation is gone if less than the first share is left, and stays if more than the second is.
 */
const goneBelow = 0.35;
const staysAbove = 0.65;
/** Scores are limited to this, so that the largest finding does not decide alone. */
const mostWeight = 20;
/** A working switch changes level or response by this much somewhere, decibels. */
const leastActDb = 0.3;
/** A deliberate change of level is at least this large, decibels. */
const leastTurnDb = 5;
const mostTurnDb = 25;
/**
 * Full boost or cut of a band is more than this, after what its neighbours take off it, decibels
 * (common practice: 12 to 18).
 */
const leastLiftDb = 3;
/**
 * From the centre to one side a pan law raises the level by 3 to 6 dB (common practice); here with
 * its scatter.
 */
const panLawDb = [2.3, 6.7] as const;
/** What is left on the far side, decibels. */
const farSideDb = -20;

/**
 * Compares a second recording, made with something changed, with the first, both relative to the
 * siblings.
 *
 * @param before the path from the round, with its findings
 * @param after the path recorded again; for `other-input`, the other path
 * @example
 * const before = { path: "7/mic", findings: [], features: new Map(), others: [] };
 * judgeCheck(findCheck("low-cut"), before, before).outcome; // "unclear"
 */
export function judgeCheck(
  kind: CheckKind,
  before: PathEvidence,
  after: PathEvidence,
): CheckJudgement {
  if (after.measurement === undefined) return unclear({ code: "not-measured" });
  switch (kind.looksAt) {
    case "gain-law":
      return judgeGain(before, after);
    case "loudness":
      return judgeLoudness(before, after);
    case "bands":
      return judgeBands(before, after);
    case "pan":
      return judgePan(before, after);
    case "shape":
      return judgeShape(kind, before, after);
    default:
      return judgeLeft(
        listOddities(before, () => true),
        before,
        after,
      );
  }
}

const unclear = (why: CheckFigure): CheckJudgement => ({ outcome: "unclear", figures: [why] });

/** Something that stood out, and how much of it is left. */
interface Oddity {
  readonly id: ReadingId | "response";
  readonly weight: number;
}

function listOddities(path: PathEvidence, counts: (id: ReadingId) => boolean): readonly Oddity[] {
  const readings = selectFeatures(path).flatMap(([id, { deviation, spread }]): Oddity[] => {
    const weight = Math.min(mostWeight, Math.abs(deviation / spread));
    return weight > clearScore && counts(id) ? [{ id, weight }] : [];
  });
  const score = findCurveWeight(path.response);
  return score > clearScore
    ? [...readings, { id: "response", weight: Math.min(mostWeight, score) }]
    : readings;
}

/** How clearly a response differs: the score that a run of points has throughout. */
function findCurveWeight(response: ResponseDeviation | undefined): number {
  if (!response) return 0;
  const run = 5;
  let most = 0;
  for (let i = 0; i + run <= response.y.length; i++) {
    let least = Number.POSITIVE_INFINITY;
    for (let k = i; k < i + run; k++) {
      least = Math.min(least, Math.abs(response.y[k] / response.spread[k]));
    }
    most = Math.max(most, least);
  }
  return most;
}

function judgeLeft(
  oddities: readonly Oddity[],
  before: PathEvidence,
  after: PathEvidence,
): CheckJudgement {
  const shares = oddities.flatMap(({ id, weight }) => {
    const share = id === "response" ? shareOfCurve(before, after) : shareOf(id, before, after);
    return share === undefined ? [] : [{ id, weight, share }];
  });
  if (shares.length === 0) return unclear({ code: "nothing-again" });
  const total = shares.reduce((sum, { weight }) => sum + weight, 0);
  const left = shares.reduce((sum, { weight, share }) => sum + weight * share, 0) / total;
  const figures = shares.map(({ id, share }): CheckFigure => ({ code: "left", of: id, share }));
  if (left < goneBelow) return { outcome: "gone", figures };
  if (left > staysAbove) return { outcome: "stays", figures };
  return { outcome: "unclear", figures };
}

function shareOf(id: ReadingId, before: PathEvidence, after: PathEvidence): number | undefined {
  const [was, is] = [before.features.get(id), after.features.get(id)];
  if (!was || !is) return undefined;
  return clamp(is.deviation / was.deviation);
}

/** How much of the first recording's difference is in the second's, by least squares in spreads. */
function shareOfCurve(before: PathEvidence, after: PathEvidence): number | undefined {
  const [was, is] = [before.response, after.response];
  if (!was || !is) return undefined;
  const at = new Map(is.x.map((hz, i) => [hz, is.y[i]]));
  let along = 0;
  let own = 0;
  was.x.forEach((hz, i) => {
    const now = at.get(hz);
    if (now === undefined) return;
    const weight = 1 / was.spread[i] ** 2;
    along += weight * was.y[i] * now;
    own += weight * was.y[i] ** 2;
  });
  return own === 0 ? undefined : clamp(along / own);
}

const clamp = (share: number) => Math.min(1, Math.max(0, share));

/** A switch or knob sets level and response: only these show whether it was the cause. */
function judgeShape(kind: CheckKind, before: PathEvidence, after: PathEvidence): CheckJudgement {
  const moved = findMovedDb(before, after);
  if (kind.id !== "marks" && moved < leastActDb) {
    return { outcome: "idle", figures: [{ code: "moved-less", thanDb: leastActDb }] };
  }
  const gain = getReadingId("gain");
  const own = listOddities(before, (id) => id === gain);
  return judgeLeft(own.length > 0 ? own : listOddities(before, () => true), before, after);
}

function findMovedDb(before: PathEvidence, after: PathEvidence): number {
  const gain = Math.abs(changeOf(getReadingId("gain"), before, after) ?? 0);
  const is = new Map(after.response?.x.map((hz, i) => [hz, after.response?.y[i] ?? 0]) ?? []);
  const curve = (before.response?.x ?? []).map((hz, i) =>
    Math.abs((is.get(hz) ?? 0) - (before.response?.y[i] ?? 0)),
  );
  return Math.max(gain, ...curve);
}

/** How far a reading moved from the first recording to the second. */
function changeOf(id: ReadingId, before: PathEvidence, after: PathEvidence): number | undefined {
  const [was, is] = [before.measurement?.readings[id], after.measurement?.readings[id]];
  return was && is ? is.value - was.value : undefined;
}

/** How much lower the second recording is; undefined if that is not a step of a gain. */
function findTurnDb(before: PathEvidence, after: PathEvidence): number | undefined {
  const change = changeOf(getReadingId("gain"), before, after);
  return change !== undefined && -change >= leastTurnDb && -change <= mostTurnDb
    ? -change
    : undefined;
}

/** A corner in the gain leg follows the gain, and so does the noise of the first stage. */
function judgeGain(before: PathEvidence, after: PathEvidence): CheckJudgement {
  const turn = findTurnDb(before, after);
  if (turn === undefined) {
    const change = changeOf(getReadingId("gain"), before, after);
    return change !== undefined && Math.abs(change) < leastActDb
      ? { outcome: "idle", figures: [{ code: "gain-moved", db: change }] }
      : unclear({ code: "gain-not-as-asked", db: change ?? 0 });
  }
  const asked: CheckFigure = { code: "turned", db: -turn };
  const [was, is] = [findLostCapacitance(before), findLostCapacitance(after)];
  const low = before.response?.y.slice(0, 5).reduce((sum, db) => sum + db, 0) ?? 0;
  const isLow = findCurveWeight(before.response) > clearScore && low < 0;
  if (isLow && was && is) {
    const octaves = Math.log2(was.fit.hz / is.fit.hz);
    const whole = turn / 6.02;
    const corner = { code: "corner", beforeHz: was.fit.hz, afterHz: is.fit.hz } as const;
    return along(octaves / whole, [asked, corner]);
  }
  const noise = [getReadingId("hiss"), getReadingId("noise")].find((id) =>
    isOutlier(before, id, "up"),
  );
  const fell = noise && changeOf(noise, before, after);
  if (fell !== undefined) return along(-fell / turn, [asked, { code: "noise-moved", db: fell }]);
  return unclear({ code: "neither-out" });
}

/** The share of the turn that a reading followed. */
function along(share: number, figures: readonly CheckFigure[]): CheckJudgement {
  if (share > staysAbove) return { outcome: "gone", figures };
  return { outcome: share < goneBelow ? "stays" : "unclear", figures };
}

function judgeLoudness(before: PathEvidence, after: PathEvidence): CheckJudgement {
  const turn = findTurnDb(before, after);
  const change = changeOf(getReadingId("gain"), before, after) ?? 0;
  if (turn === undefined) {
    return unclear({ code: "level-not-as-asked", db: change });
  }
  const level = getReadingId("gain");
  return judgeLeft(
    listOddities(before, (id) => id !== level),
    before,
    after,
  );
}

/** Frequencies of an equaliser's bass, middle and treble, hertz, and the way each was turned. */
const bandsHz = [
  ["bass", 30, 70, 1],
  ["middle", 250, 6000, -1],
  ["treble", 11_000, 18_000, 1],
] as const;

/**
 * Adjacent bands are turned opposite ways, since a band's flanks reach far into the next: a change
 * in the direction in which a band was turned comes from that band.
 */
function judgeBands(before: PathEvidence, after: PathEvidence): CheckJudgement {
  if (!before.response || !after.response) return unclear({ code: "no-response" });
  const at = new Map(before.response.x.map((hz, i) => [hz, before.response?.y[i] ?? 0]));
  // Responses are relative to 1 kHz, which a middle band changes too.
  const whole = changeOf(getReadingId("gain"), before, after) ?? 0;
  const { x, y } = after.response;
  const moves = bandsHz.map(([name, from, to, way]) => {
    const own = x.flatMap((hz, i) =>
      hz >= from && hz <= to ? [way * (y[i] - (at.get(hz) ?? 0) + whole)] : [],
    );
    const db = own.length === 0 ? undefined : Math.max(...own);
    return { name, db, figure: db === undefined ? { band: name } : { band: name, db: way * db } };
  });
  const bands = moves.map(({ figure }): BandMove => figure);
  if (moves.every(({ db = 0 }) => Math.abs(db) < leastActDb)) {
    return unclear({ code: "no-band-acts", bands });
  }
  const figures = bands.map((band): CheckFigure => ({ code: "band", ...band }));
  const dead = moves.some(({ db }) => db !== undefined && db < leastLiftDb);
  return { outcome: dead ? "idle" : "stays", figures };
}

function judgePan(before: PathEvidence, after: PathEvidence): CheckJudgement {
  const change = changeOf(getReadingId("gain"), before, after);
  if (change === undefined) return unclear({ code: "no-level" });
  const figures: readonly CheckFigure[] = [{ code: "level-moved", db: change }];
  if (change < farSideDb) return unclear({ code: "far-side", db: change });
  const isLaw = change >= panLawDb[0] && change <= panLawDb[1];
  return { outcome: isLaw ? "stays" : "idle", figures };
}
