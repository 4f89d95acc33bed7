import { mostCertain } from "../rank/certainty.js";
import type { PathToRank } from "../rank/family-stats.js";
import type { RankedPath } from "../rank/rank.js";
import type { PredictedCause, Prediction } from "./cause-kind.js";
import { noSignal } from "./causes/no-signal.js";
import { noneOfThese } from "./causes/none-of-these.js";
import { findMatchingFamily, wrongPathRecorded } from "./causes/wrong-path-recorded.js";
import { describeCause, predictedCauses } from "./causes.js";
import { joinPredictions } from "./join-predictions.js";
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
import { limitWander } from "./roughness.js";
import { computeSideNats } from "./sides.js";
import { fitTogether, withoutEnds } from "./two-shapes.js";
import type { Cause } from "./types.js";
import { isHeardBeside, listSilentSideCauses, listUnheardCauses } from "./unheard-causes.js";

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
/** A second cause is looked for only if the first leaves this much unexplained, in spreads. */
const leftOver = 5;

/**
 * Names likely causes for one path with their probabilities, the likeliest first. Each cause's
 * physics is fitted to what is seen; its likelihood and prior are weighed against all others and
 * against "none of these" (Bayes). What the first leaves unexplained is judged again, so that two
 * causes at once can both be named.
 *
 * Nothing is named for a path without a finding that calls for attention, except one that is better
 * than its siblings in exactly the way of another family: its recording is of another path.
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
  if (path.unheard !== undefined)
    return listUnheardCauses(path, path.unheard, input.silence, input.loud);
  const first = weigh(path, []);
  const named = first.filter((h) => h.probability >= leastProbability).slice(0, mostCauses);
  const [best] = named;
  if (best?.kind?.id === noSignal.id && best.prediction && isHeardBeside(path)) {
    return listSilentSideCauses(best.prediction.evidence);
  }
  if (best?.kind?.id !== noSignal.id) {
    return (weighPairs(path, first) ?? named).slice(0, mostCauses).map(causeOf);
  }
  // Stray signal can have any shape, so other causes would add nothing.
  return [causeOf(best)];
}

/** Faults seldom coincide by chance: how often there is a second besides the first (a guess). */
const togetherPrior = 0.15;
/** One cause likelier than this that leaves nothing unexplained needs no second. */
const settled = 0.8;
/** This many of the likeliest first causes are tried with every second one. */
const firstsTried = 8;

/**
 * Weighs two causes at once against each alone: what one leaves unexplained is judged on its own,
 * and both together are compared with what is seen.
 *
 * @param single all causes on their own, the likeliest first
 * @returns causes by their probability, alone or with another; undefined if one alone is likely
 *   enough and leaves nothing unexplained
 */
function weighPairs(
  path: PathEvidence,
  single: readonly Weighed[],
): readonly Weighed[] | undefined {
  const best = single.find(({ kind }) => kind);
  // An unsteady level can explain any shape, so other distortions of the response are looked for
  // beneath it.
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
 * Whatever one cause clearly leaves unexplained has another cause, however seldom two coincide: the
 * joint fits show which.
 *
 * @returns the cause with the others after it; undefined if nothing is left, or if no other fits
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

/** Two causes fitted in either order are the same pair: the better fit counts. */
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

/**
 * The pairs of a first cause with every other, for each of its fits, since the other may have
 * hidden the right one.
 */
function pairsWith(path: PathEvidence, first: Weighed): readonly Together[] {
  const { kind, prediction } = first;
  if (!kind || !prediction) return [];
  const hidden = prediction.response === undefined ? [] : withoutEnds(path);
  const starts = [prediction, ...hidden.flatMap((one) => kind.predict(one) ?? [])];
  return starts.flatMap((alone) => pairsFrom(path, first, kind, alone));
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
    const second = given && limitWander(path, given);
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
      // What speaks against one alone may come from the other.
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

/** A path must fit its own family worse by this many nats before it is assigned to another. */
const disowned = 20;

/** Whether a path differs from its siblings, and matches another family in everything. */
function isAnothers(path: PathEvidence): boolean {
  const moved = selectFeatures(path).reduce(
    (sum, [, f]) => sum + logStudentT4(f.deviation / f.spread),
    0,
  );
  if (moved > -disowned || path.findings.length === 0) return false;
  return wrongPathRecorded.predict(path) !== undefined;
}

/**
 * The family that a path measures like, if its first cause is that another input was recorded.
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

/** The full reasoning on one path. */
export interface Explanation {
  /** Every reading that counted: its deviation, and the spread it is compared with. */
  readonly features: readonly (Feature & { readonly id: string })[];
  /** Every cause that can produce what is seen, the likeliest first; "none of these" has no id. */
  readonly causes: readonly {
    readonly id?: string;
    readonly name: string;
    readonly prior: number;
    /** Nats, before weighting by `evidenceShare`. */
    readonly logLikelihood: number;
    readonly probability: number;
    readonly parts: readonly FitPart[];
  }[];
  /** Weight at which the evidence counted. */
  readonly evidenceShare: number;
}

/**
 * Every number behind the first cause of {@link diagnosePath}.
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

/** A cause with its probability; "none of these" if `kind` is absent. */
interface Weighed {
  readonly kind?: PredictedCause;
  readonly prediction?: Prediction;
  readonly fit?: Fit;
  readonly probability: number;
  /** Logarithm of prior and likelihood. */
  readonly nats: number;
}

/** Probabilities of all causes that can produce what is seen, the likeliest first. */
function weigh(path: PathEvidence, but: readonly string[]): readonly Weighed[] {
  const nothing = computeFit(path, { moves: {}, evidence: [] }).logLikelihood;
  const candidates = predictedCauses.flatMap((kind) => {
    const given = but.includes(kind.id) ? undefined : kind.predict(path);
    if (!given) return [];
    const prediction = limitWander(path, given);
    const fit = computeFit(path, prediction);
    // A cause that explains no more than a healthy path would is dropped, however common it is.
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
