import { median } from "../dsp/robust.js";
import { getReadingId } from "../measure/reading-kinds.js";
import { mostCertain } from "../rank/certainty.js";
import type { EmptyCaptureNoise, LoudSound, PathToRank } from "../rank/family-stats.js";
import type { RankedPath } from "../rank/rank.js";
import type { CauseKind, DeviationRange, PredictedCause, Prediction } from "./cause-kind.js";
import { noSignal } from "./causes/no-signal.js";
import { noneOfThese } from "./causes/none-of-these.js";
import { nothingPatched } from "./causes/nothing-patched.js";
import { findMatchingFamily, wrongPathRecorded } from "./causes/wrong-path-recorded.js";
import { causeKinds, describeCause, predictedCauses } from "./causes.js";
import type { Evidence, EvidenceLine } from "./evidence.js";
import {
  computeFit,
  computeUnexplained,
  type Fit,
  type FitPart,
  isStriking,
  logStudentT4,
  selectFeatures,
  subtractPrediction,
} from "./likelihood.js";
import {
  buildPathEvidence,
  clearScore,
  type Feature,
  type PathEvidence,
  type PathReference,
} from "./path-evidence.js";
import type { ResponseDeviation } from "./response-deviation.js";
import { computeSideNats } from "./sides.js";
import type { Cause } from "./types.js";

/** Causes less likely than this are not worth a line. */
const leastProbability = 0.05;
const mostCauses = 4;
/** How often none of the known causes is the reason (common practice, a guess). */
const unknownPrior = 0.03;
/**
 * Readings are not as independent as their product assumes, so evidence counts at this share; set
 * by the reliability of the probabilities on virtual desks (docs/diagnosis.md), also with three
 * times the scatter, and on the careful side.
 */
const evidenceShare = 0.7;
/** A second cause is looked for only when the first leaves this much standing, in spreads. */
const leftOver = 5;

/**
 * Names likely causes for one path with their probabilities, the likeliest first. Each cause's
 * physics is fitted to what is seen; its likelihood and prior are weighed against all others and
 * against "none of these" (Bayes). What the first leaves standing is judged again, so that two
 * causes at once can both be named.
 *
 * Nothing is named for a path without a finding that calls for attention, but for one that is
 * better than its siblings in the very way of another family: its recording is another's.
 *
 * @param input the path as ranked
 * @param ranked its findings
 * @param around what is usual around it
 * @example
 * const level = (path, value) => ({
 *   path,
 *   family: "line",
 *   measurement: { readings: { gain: { value, unit: "dB", uncertainty: 0.01 } }, absent: {}, curves: {} },
 * });
 * const ranked = rankPaths([level("1/line", 0), level("2/line", 0.1), level("3/line", -0.1)]);
 * diagnosePath(level("1/line", 0), ranked[0], {}); // []
 */
export function diagnosePath(
  input: PathToRank,
  ranked: RankedPath,
  around: PathReference,
): readonly Cause[] {
  const path = buildPathEvidence(input, ranked.findings, around);
  if (!ranked.findings.some((f) => f.severity !== "remark") && !isAnothers(path)) return [];
  if (path.unheard !== undefined) return unheardCauses(path, input.silence, input.loud);
  const first = weigh(path, []);
  const named = first.filter((h) => h.probability >= leastProbability).slice(0, mostCauses);
  const [best] = named;
  if (best?.kind?.id === noSignal.id && best.prediction && isHeardBeside(path)) {
    return silentSideCauses(best.prediction.evidence);
  }
  if (best?.kind?.id !== noSignal.id) {
    return (weighPairs(path, first) ?? named).slice(0, mostCauses).map(causeOf);
  }
  // Stray signal has any shape: what else it might be says nothing more.
  return [causeOf(best)];
}

/** Faults seldom come together by chance: how often a second one is there besides a first (a guess). */
const togetherPrior = 0.15;
/** One cause that is likelier than this, and leaves nothing standing, needs no second. */
const settled = 0.8;
/** This many of the likeliest first causes are tried with every second one. */
const firstsTried = 8;

/**
 * Two causes at once against each alone: what one leaves standing is judged on its own, and both are
 * held together against what is seen.
 *
 * @param single all causes on their own, the likeliest first
 * @returns causes by how often they are there, alone or with another; undefined where one alone is
 *   likely enough and leaves nothing standing
 */
function weighPairs(
  path: PathEvidence,
  single: readonly Weighed[],
): readonly Weighed[] | undefined {
  const best = single.find(({ kind }) => kind);
  // A level that wanders takes any shape for its own: what bends beneath it is looked for.
  const leaves =
    best?.prediction &&
    (best.prediction.wander !== undefined ||
      isStriking(subtractPrediction(path, best.prediction), clearScore));
  if (!leaves && (best === undefined || best.probability > settled)) return undefined;
  const firsts = single
    .filter(({ kind }) => kind !== undefined && kind.id !== noSignal.id)
    .sort((a, b) => (b.fit?.logLikelihood ?? 0) - (a.fit?.logLikelihood ?? 0))
    .slice(0, firstsTried);
  const pairs = onceEach(firsts.flatMap((one) => pairsWith(path, one)));
  const alone = single.map((one) => ({ members: [one], nats: one.nats }));
  const all = [...alone, ...pairs];
  const most = Math.max(...all.map(({ nats }) => nats));
  const total = all.reduce((sum, { nats }) => sum + Math.exp(nats - most), 0);
  const shares = new Map<string, Weighed>();
  for (const { members, nats } of all.sort((a, b) => b.nats - a.nats)) {
    const share = Math.exp(nats - most) / total;
    for (const one of members) {
      const id = one.kind?.id ?? noneOfThese.id;
      const known = shares.get(id);
      shares.set(
        id,
        known
          ? { ...known, probability: known.probability + share }
          : { ...one, probability: share },
      );
    }
  }
  const [likeliest] = all;
  if (likeliest.members.length === 1 && Math.exp(likeliest.nats - most) / total > settled) {
    return judgeRest(path, likeliest.members[0], pairs);
  }
  const named = [...shares.values()].sort((a, b) => b.probability - a.probability);
  return named.filter(({ probability }) => probability >= leastProbability);
}

/**
 * What one cause leaves standing plainly has another, however seldom two come together: which, the
 * joint fits say.
 *
 * @returns the cause with the others after it; undefined where nothing is left, or none fits it
 */
function judgeRest(
  path: PathEvidence,
  best: Weighed,
  pairs: readonly Together[],
): readonly Weighed[] | undefined {
  if (!best.kind || !best.prediction) return undefined;
  const { id } = best.kind;
  const rest = subtractPrediction(path, best.prediction);
  if (!isStriking(rest, leftOver) || weigh(rest, [id])[0].kind === undefined) return undefined;
  const own = pairs.filter(({ members }) => members.some(({ kind }) => kind?.id === id));
  const most = Math.max(...own.map(({ nats }) => nats));
  const total = own.reduce((sum, { nats }) => sum + Math.exp(nats - most), 0);
  const others = own.flatMap(({ members, nats }) =>
    members
      .filter(({ kind }) => kind?.id !== id)
      .map((one) => ({ ...one, probability: Math.exp(nats - most) / total })),
  );
  const named = others
    .filter(({ probability }) => probability >= leastProbability)
    .sort((a, b) => b.probability - a.probability);
  return named.length === 0 ? undefined : [best, ...named];
}

interface Together {
  readonly members: readonly Weighed[];
  readonly nats: number;
}

/** Two causes fitted in either order are the same two: the better fit counts. */
function onceEach(pairs: readonly Together[]): readonly Together[] {
  const best = new Map<string, Together>();
  for (const one of pairs) {
    const key = one.members
      .map(({ kind }) => kind?.id ?? "")
      .sort()
      .join(" ");
    const known = best.get(key);
    if (known === undefined || one.nats > known.nats) best.set(key, one);
  }
  return [...best.values()];
}

/** The pairs of a first cause with every other, from each of its fits that the other may have hidden. */
function pairsWith(path: PathEvidence, first: Weighed): readonly Together[] {
  const { kind, prediction } = first;
  if (!kind || !prediction) return [];
  const hidden = prediction.response === undefined ? [] : withoutEnds(path);
  const starts = [prediction, ...hidden.flatMap((one) => kind.predict(one) ?? [])];
  return starts.flatMap((alone) => pairsFrom(path, first, kind, alone));
}

/** The ends of the band, hertz. */
const endsHz = [
  [20, 60],
  [6000, 20_000],
] as const;
/** What moves an end by less moves no fit, decibels. */
const leastEndDb = 1;

/**
 * The path with its response counted from either end of the band. A bell at 1 kHz moves all else, since
 * every response is nought there: what bends one end as well is first seen against the other end.
 */
function withoutEnds(path: PathEvidence): readonly PathEvidence[] {
  const { response } = path;
  if (!response) return [];
  return endsHz.flatMap(([fromHz, toHz]) => {
    const own = response.y.filter((_, i) => response.x[i] >= fromHz && response.x[i] <= toHz);
    const end = own.length === 0 ? 0 : median(own);
    if (Math.abs(end) < leastEndDb) return [];
    return [{ ...path, response: { ...response, y: response.y.map((db) => db - end) } }];
  });
}

function pairsFrom(
  path: PathEvidence,
  first: Weighed,
  kind: PredictedCause,
  alone: Prediction,
): readonly Together[] {
  const rest = subtractPrediction(path, alone);
  return predictedCauses.flatMap((other) => {
    const given = other.id === kind.id ? undefined : other.predict(rest);
    const second = given && withinRoughness(path, given);
    if (!second || other.id === noSignal.id || other.id === wrongPathRecorded.id) return [];
    const [a, b] = fitTogether(path, kind, alone, other, second);
    const fit = computeFit(path, joinPredictions(a, b));
    const side = computeSideNats(path, [
      { kind, prediction: a },
      { kind: other, prediction: b },
    ]);
    const nats =
      Math.log(kind.prior * other.prior * togetherPrior) +
      evidenceShare * (fit.logLikelihood + side);
    const members: Weighed[] = [
      // What speaks against one alone may be the other's doing.
      {
        ...first,
        prediction: a,
        fit: { ...fit, logLikelihood: first.fit?.logLikelihood ?? fit.logLikelihood },
      },
      { kind: other, prediction: b, fit, probability: 0, nats },
    ];
    return [{ members, nats }];
  });
}

/** Two shapes are fitted in turn so often, each to what the other leaves. */
const turns = 3;

/** Two causes that both bend the response, each fitted without the other's share. */
function fitTogether(
  path: PathEvidence,
  kind: PredictedCause,
  first: Prediction,
  other: PredictedCause,
  second: Prediction,
): readonly [Prediction, Prediction] {
  let [a, b] = [first, second];
  if (!a.response || !b.response) return [a, b];
  for (let turn = 0; turn < turns; turn++) {
    const again = kind.predict(subtractPrediction(path, b));
    if (!again) break;
    const rest = other.predict(subtractPrediction(path, again));
    if (!rest) break;
    [a, b] = [again, rest];
  }
  return [a, b];
}

/** Points to either side that a level which jumps is compared with. */
const roughReach = 8;
const edgeReach = 4;

/** A level wanders by no more than its jumps, with what the middle of few points hides of them. */
const wanderInJumps = 1.5;

/**
 * A level that jumps makes a rough response: one that is smooth was not bent by it, however far off
 * it is, or it would take every shape for its own.
 */
function withinRoughness(path: PathEvidence, prediction: Prediction): Prediction {
  const { wander } = prediction;
  const { response } = path;
  if (wander === undefined || !response) return prediction;
  const jumps = wanderInJumps * Math.max(...computeRoughness(response));
  return { ...prediction, wander: Math.min(wander, jumps) };
}

/**
 * How far each point lies off the slope of the curve about it, and how far what comes before it lies
 * off what comes behind, decibels: a filter is smooth.
 */
function computeRoughness({ x, y }: Pick<ResponseDeviation, "x" | "y">): readonly number[] {
  const octaves = x.map((hz) => Math.log2(hz));
  return y.map((db, i) => {
    const from = Math.max(0, i - roughReach);
    const until = Math.min(y.length, i + roughReach + 1);
    const steps: number[] = [];
    for (let k = from + 1; k < until; k++) {
      steps.push((y[k] - y[k - 1]) / (octaves[k] - octaves[k - 1]));
    }
    const slope = steps.length === 0 ? 0 : median(steps);
    const level: number[] = [];
    for (let k = from; k < until; k++) level.push(y[k] - slope * (octaves[k] - octaves[i]));
    const spike = Math.abs(db - median(level));
    const [before, behind] = [level.slice(0, i - from), level.slice(i - from + 1)].map((side, k) =>
      k === 0 ? side.slice(-edgeReach) : side.slice(0, edgeReach),
    );
    const whole = before.length === edgeReach && behind.length === edgeReach;
    return Math.max(spike, whole ? Math.abs(median(behind) - median(before)) : 0);
  });
}

/**
 * Two deviations add. What one of them moves for certain is not left alone for the other's sake, which may
 * move it a little either way.
 */
function joinRanges(a: DeviationRange, b: DeviationRange): DeviationRange {
  const [low, high] = [a[0] + b[0], a[1] + b[1]];
  const [up, down] = [a[0] > 0 || b[0] > 0, a[1] < 0 || b[1] < 0];
  if (up === down) return [low, high];
  return up ? [Math.max(low, Number.MIN_VALUE), high] : [low, Math.min(high, -Number.MIN_VALUE)];
}

/** What two causes make of a path together: their deviations and responses add. */
function joinPredictions(a: Prediction, b: Prediction): Prediction {
  const ids = new Set([...Object.keys(a.moves), ...Object.keys(b.moves)]);
  const of = ({ moves }: Prediction, id: string) =>
    (moves as Readonly<Record<string, DeviationRange>>)[id] ?? [0, 0];
  const moves = Object.fromEntries(
    [...ids].map((id) => [id, joinRanges(of(a, id), of(b, id))] as const),
  );
  const responses = [a.response, b.response].flatMap((one) => one ?? []);
  const wander = Math.max(a.wander ?? 0, b.wander ?? 0);
  return {
    moves,
    ...(responses.length > 0
      ? { response: (hz: number) => responses.reduce((sum, of) => sum + of(hz), 0) }
      : {}),
    ...(wander > 0 ? { wander } : {}),
    fitted: (a.fitted ?? 0) + (b.fitted ?? 0),
    sign: (a.sign ?? 0) + (b.sign ?? 0),
    evidence: [],
  };
}

/** Nats by which a path must fit its own family worse before it is assigned to another. */
const disowned = 20;

/** Whether a path is unlike its siblings, and in everything like those of another family. */
function isAnothers(path: PathEvidence): boolean {
  const moved = selectFeatures(path).reduce(
    (sum, [, f]) => sum + logStudentT4(f.deviation / f.spread),
    0,
  );
  if (moved > -disowned || path.findings.length === 0) return false;
  return wrongPathRecorded.predict(path) !== undefined;
}

/**
 * The family that a path measures like, where its first cause is that it is another's.
 *
 * @example
 * const input = { path: "7/mic", family: "mic" };
 * const ranked = { path: "7/mic", oddness: 0, findings: [] };
 * findRecordedInput(input, ranked, {}, []); // undefined
 */
export function findRecordedInput(
  input: PathToRank,
  ranked: RankedPath,
  around: PathReference,
  causes: readonly Cause[],
): string | undefined {
  if (causes[0]?.cause !== wrongPathRecorded.id) return undefined;
  return findMatchingFamily(buildPathEvidence(input, ranked.findings, around));
}

/** The whole reasoning on one path. */
export interface Explanation {
  /** Every reading that counted: how it differs, and from what spread. */
  readonly features: readonly (Feature & { readonly id: string })[];
  /** Every cause that can give what is seen, the likeliest first; none of them has no id. */
  readonly causes: readonly {
    readonly id?: string;
    readonly name: string;
    readonly prior: number;
    /** Nats, before the share at which evidence counts. */
    readonly logLikelihood: number;
    readonly probability: number;
    readonly parts: readonly FitPart[];
  }[];
  /** At what share the evidence counted. */
  readonly evidenceShare: number;
}

/**
 * Every number behind {@link diagnosePath}'s first answer.
 *
 * @example
 * const level = (path, value) => ({
 *   path,
 *   family: "line",
 *   measurement: { readings: { gain: { value, unit: "dB", uncertainty: 0.01 } }, absent: {}, curves: {} },
 * });
 * const ranked = rankPaths([level("1/line", 0), level("2/line", 0.1), level("3/line", -0.1)]);
 * explainPath(level("1/line", 0), ranked[0], {}) !== undefined; // true
 */
export function explainPath(
  input: PathToRank,
  ranked: RankedPath,
  around: PathReference,
): Explanation {
  const path = buildPathEvidence(input, ranked.findings, around);
  return {
    features: selectFeatures(path).map(([id, feature]) => ({ id, ...feature })),
    causes: weigh(path, []).map(({ kind, fit, probability }) =>
      kind && fit
        ? { id: kind.id, name: kind.name, prior: kind.prior, probability, ...fit }
        : {
            name: noneOfThese.name,
            prior: unknownPrior,
            logLikelihood: computeUnexplained(path),
            probability,
            parts: [],
          },
    ),
    evidenceShare,
  };
}

/** A cause, or none of them where `kind` is absent, with its probability. */
interface Weighed {
  readonly kind?: PredictedCause;
  readonly prediction?: Prediction;
  readonly fit?: Fit;
  readonly probability: number;
  /** Logarithm of prior and likelihood. */
  readonly nats: number;
}

/** Probabilities of all causes that can give what is seen, the likeliest first. */
function weigh(path: PathEvidence, but: readonly string[]): readonly Weighed[] {
  const nothing = computeFit(path, { moves: {}, evidence: [] }).logLikelihood;
  const candidates = predictedCauses.flatMap((kind) => {
    const given = but.includes(kind.id) ? undefined : kind.predict(path);
    if (!given) return [];
    const prediction = withinRoughness(path, given);
    const fit = computeFit(path, prediction);
    // What explains no more than a healthy path does is not a cause, however common it is.
    if (fit.logLikelihood <= nothing) return [];
    const seen = fit.logLikelihood + computeSideNats(path, [{ kind, prediction }]);
    return [{ kind, prediction, fit, nats: Math.log(kind.prior) + evidenceShare * seen }];
  });
  const unexplained = computeUnexplained(path) + computeSideNats(path, []);
  const none = { nats: Math.log(unknownPrior) + evidenceShare * unexplained };
  const all = [...candidates, none];
  const most = Math.max(...all.map(({ nats }) => nats));
  const total = all.reduce((sum, { nats }) => sum + Math.exp(nats - most), 0);
  return all
    .map((one) => ({ ...one, probability: Math.exp(one.nats - most) / total }))
    .sort((a, b) => b.probability - a.probability);
}

function causeOf({ kind, prediction, fit, probability }: Omit<Weighed, "nats">): Cause {
  const rounded = Math.min(mostCertain, Math.round(probability * 100) / 100);
  if (!kind || !prediction) {
    return {
      ...describeCause(noneOfThese),
      probability: rounded,
      evidence: [{ code: "fits-no-cause" }],
    };
  }
  return {
    ...describeCause(kind),
    probability: rounded,
    evidence: prediction.evidence,
    ...(fit && fit.against.length > 0 ? { against: fit.against } : {}),
  };
}

/** Share of silent captures that are patching, not the desk (common practice, a guess). */
const unpatchedShare = 0.35;
/** The odds that a telling silence gives for one or the other, a guess on the careful side. */
const telling = 12;
/** Where only the level at the socket speaks, it speaks softly: it does not turn the odds over. */
const hinting = 1.5;
/** Siblings that add less than this to the quietest family's noise show nothing, decibels. */
const leastAddedDb = 4;
/** A silence this far below its siblings' lacks what they add, decibels. */
const plainlyBelowDb = 6;
/** So much more than its siblings' noise no dead stage gives, decibels. */
const plainlyAboveDb = 3;
/** Sources below this are amplified so far that a strip's own noise is most of what is heard, dBu. */
const highGainDbu = -30;

/** A capture without a return: the path is dead, or nothing was patched into it. */
function unheardCauses(
  path: PathEvidence,
  silence: EmptyCaptureNoise | undefined,
  loud: LoudSound | undefined,
): readonly Cause[] {
  const { unheard } = path;
  if (unheard === undefined) return [];
  const heard: Evidence = { code: "no-return", heard: unheard };
  if (isHeardBeside(path)) return silentSideCauses([{ code: "side-silent", heard: unheard }]);
  if (loud) return loudCauses(heard, loud);
  const prediction = noSignal.predict(path);
  const { factor, evidence } = silenceOdds(silence, path.inputDbu);
  const odds = (factor * unpatchedShare) / (1 - unpatchedShare);
  const share = odds / (1 + odds);
  const patch: Cause = {
    ...describeCause(nothingPatched),
    probability: Math.round(100 * share) / 100,
    evidence: [heard, ...(factor > 1 ? evidence : [])],
    ...(factor < 1 ? { against: evidence } : {}),
  };
  if (!prediction) return [patch];
  const own = causeOf({ kind: noSignal, prediction, probability: 1 - share });
  const silent: Cause = {
    ...own,
    evidence: [...own.evidence, ...(factor < 1 ? evidence : [])],
    ...(factor > 1 ? { against: evidence } : {}),
  };
  return share > 0.5 ? [patch, silent] : [silent, patch];
}

const allCauses: readonly CauseKind[] = causeKinds;

/** A side that lost less than this comes through, decibels. */
const throughDb = 20;

function isHeardBeside({ beside }: PathEvidence): boolean {
  return (
    beside?.heard === true &&
    (beside.features.get(getReadingId("gain"))?.deviation ?? 0) > -throughDb
  );
}

function silentSideCauses(found: readonly EvidenceLine[]): readonly Cause[] {
  const evidence: readonly EvidenceLine[] = [...found, { code: "other-side-through" }];
  return shareOut(allCauses, ({ silentSideShare }) => silentSideShare, evidence);
}

/** Peak over r.m.s.: of a constant or of full scale to and fro 0 dB, of a sine 3.01 dB. */
const stuckCrestDb = 0.3;
const toneCrestDb = 3.5;
/** More of its samples at full scale than this is no programme's. */
const drivenShare = 0.02;

/** Sound too loud for any noise: neither a dead path nor one that nothing feeds. */
function loudCauses(heard: Evidence, { levelDbfs, crestDb, clippedShare }: LoudSound) {
  const kind =
    crestDb < stuckCrestDb
      ? "stuck"
      : clippedShare > drivenShare
        ? "driven"
        : crestDb < toneCrestDb
          ? "tone"
          : "programme";
  const evidence: readonly Evidence[] = [
    heard,
    { code: "louder-than-noise", levelDbfs },
    { code: "loud-sound", sound: kind, clippedShare },
  ];
  // Of two as likely, the one that sounds like this above all comes first.
  const isMostly = ({ loudShares = {} }: CauseKind) =>
    loudShares[kind] === Math.max(...Object.values(loudShares));
  const inOrder = allCauses.toSorted((a, b) => Number(isMostly(b)) - Number(isMostly(a)));
  return shareOut(inOrder, ({ loudShares }) => loudShares?.[kind], evidence);
}

/** The causes that have a share, the likeliest first. */
function shareOut(
  causes: readonly CauseKind[],
  shareOf: (cause: CauseKind) => number | undefined,
  evidence: readonly EvidenceLine[],
): readonly Cause[] {
  return causes
    .flatMap((cause) => {
      const probability = shareOf(cause);
      return probability === undefined ? [] : [{ cause, probability }];
    })
    .sort((a, b) => b.probability - a.probability)
    .map(({ cause, probability }) => ({ ...describeCause(cause), probability, evidence }));
}

/**
 * What the noise of a silent capture says of whether its stage is alive. What its siblings add to
 * the noise of the quietest family is theirs and not the bus's or the interface's: a live stage
 * adds it too. Where there is no other family, a stage of high gain is known to add most of it.
 */
function silenceOdds(
  silence: EmptyCaptureNoise | undefined,
  inputDbu: number | undefined,
): { factor: number; evidence: readonly Evidence[] } {
  if (!silence) return { factor: 1, evidence: [] };
  const { aboveSiblingsDb, siblingsAboveQuietestDb } = silence;
  const alive: readonly Evidence[] = [{ code: "noise-as-siblings" }];
  const dead: readonly Evidence[] = [{ code: "noise-below-siblings", byDb: -aboveSiblingsDb }];
  if (aboveSiblingsDb < -plainlyBelowDb) return { factor: 1 / telling, evidence: dead };
  if (aboveSiblingsDb > plainlyAboveDb) {
    return {
      factor: telling,
      evidence: [{ code: "noise-above-siblings", byDb: aboveSiblingsDb }],
    };
  }
  if (siblingsAboveQuietestDb === undefined) {
    const amplified = inputDbu !== undefined && inputDbu < highGainDbu;
    const alike = aboveSiblingsDb > -plainlyBelowDb / 2;
    return amplified && alike ? { factor: hinting, evidence: alive } : { factor: 1, evidence: [] };
  }
  if (siblingsAboveQuietestDb < leastAddedDb) return { factor: 1, evidence: [] };
  return aboveSiblingsDb > -siblingsAboveQuietestDb / 2
    ? { factor: telling, evidence: alive }
    : { factor: 1 / telling, evidence: dead };
}
