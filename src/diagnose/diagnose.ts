import type { EmptyCaptureNoise, PathToRank } from "../rank/family-stats.js";
import type { RankedPath } from "../rank/rank.js";
import type { PredictedCause, Prediction } from "./cause-kind.js";
import { noSignal } from "./causes/no-signal.js";
import { noneOfThese } from "./causes/none-of-these.js";
import { nothingPatched } from "./causes/nothing-patched.js";
import { findMatchingFamily, wrongPathRecorded } from "./causes/wrong-path-recorded.js";
import { describeCause, predictedCauses } from "./causes.js";
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
  type Feature,
  type PathEvidence,
  type PathReference,
} from "./path-evidence.js";
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
/** Nothing is certain before it has been opened. */
const mostCertain = 0.99;
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
  if (path.unheard !== undefined) return unheardCauses(path, input.silence);
  const first = weigh(path, []);
  const named = first.filter((h) => h.probability >= leastProbability).slice(0, mostCauses);
  const [best] = named;
  if (!best?.kind || !best.prediction) return named.map(causeOf);
  // Stray signal has any shape: what else it might be says nothing more.
  if (best.kind.id === noSignal.id) return [causeOf(best)];
  const rest = subtractPrediction(path, best.prediction);
  if (!isStriking(rest, leftOver)) return named.map(causeOf);
  const second = weigh(rest, [best.kind.id])[0];
  if (!second.kind || second.probability < 0.5) return named.map(causeOf);
  const others = named.slice(1).filter((h) => h.kind?.id !== second.kind?.id);
  return [best, second, ...others].slice(0, mostCauses).map(causeOf);
}

/** Nats by which a path's own family must disown it before it is taken for another's. */
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

/** The family that a path measures like, where its first cause is that it is another's. */
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
}

/** Probabilities of all causes that can give what is seen, the likeliest first. */
function weigh(path: PathEvidence, but: readonly string[]): readonly Weighed[] {
  const candidates = predictedCauses.flatMap((kind) => {
    const prediction = but.includes(kind.id) ? undefined : kind.predict(path);
    if (!prediction) return [];
    const fit = computeFit(path, prediction);
    return [
      { kind, prediction, fit, nats: Math.log(kind.prior) + evidenceShare * fit.logLikelihood },
    ];
  });
  const none = { nats: Math.log(unknownPrior) + evidenceShare * computeUnexplained(path) };
  const all = [...candidates, none];
  const most = Math.max(...all.map(({ nats }) => nats));
  const total = all.reduce((sum, { nats }) => sum + Math.exp(nats - most), 0);
  return all
    .map(({ nats, ...rest }) => ({ ...rest, probability: Math.exp(nats - most) / total }))
    .sort((a, b) => b.probability - a.probability);
}

function causeOf({ kind, prediction, fit, probability }: Weighed): Cause {
  const rounded = Math.min(mostCertain, Math.round(probability * 100) / 100);
  if (!kind || !prediction) {
    return {
      ...describeCause(noneOfThese),
      probability: rounded,
      evidence: ["what stands out fits no single cause that is known here"],
    };
  }
  return {
    ...describeCause(kind),
    probability: rounded,
    evidence: prediction.evidence,
    ...(fit && fit.against.length > 0 ? { against: fit.against } : {}),
    ...(prediction.ready === undefined ? {} : { ready: prediction.ready }),
  };
}

/** Share of silent captures that are patching, not the desk (common practice, a guess). */
const unpatchedShare = 0.35;
/** The odds that a telling silence gives for one or the other, a guess on the careful side. */
const telling = 12;
/** Where only the level at the socket speaks, it speaks softly: it does not turn the odds over. */
const hinting = 1.5;
/** Siblings that add less than this to the quietest family's noise tell nothing by it, decibels. */
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
): readonly Cause[] {
  const heard = `no return in its capture: ${path.unheard}`;
  const prediction = noSignal.predict(path);
  const { factor, words } = silenceOdds(silence, path.inputDbu);
  const odds = (factor * unpatchedShare) / (1 - unpatchedShare);
  const share = odds / (1 + odds);
  const patch: Cause = {
    ...describeCause(nothingPatched),
    probability: Math.round(100 * share) / 100,
    evidence: [heard, ...(factor > 1 ? words : [])],
    ...(factor < 1 ? { against: words } : {}),
  };
  if (!prediction) return [patch];
  const own = causeOf({ kind: noSignal, prediction, probability: 1 - share });
  const silent: Cause = {
    ...own,
    evidence: [...own.evidence, ...(factor < 1 ? words : [])],
    ...(factor > 1 ? { against: words } : {}),
  };
  return share > 0.5 ? [patch, silent] : [silent, patch];
}

/**
 * What the noise of a silent capture says of whether its stage is alive. What its siblings add to
 * the noise of the quietest family is theirs and not the bus's or the interface's: a live stage
 * adds it too. Where there is no other family, a stage of high gain is known to add most of it.
 */
function silenceOdds(
  silence: EmptyCaptureNoise | undefined,
  inputDbu: number | undefined,
): { factor: number; words: readonly string[] } {
  if (!silence) return { factor: 1, words: [] };
  const { aboveSiblingsDb, siblingsAboveQuietestDb } = silence;
  const alive = ["as noisy as its siblings: the stage works, but nothing feeds it"];
  const dead = [
    `noise ${(-aboveSiblingsDb).toFixed(0)} dB below its siblings': what makes theirs does not come through`,
  ];
  if (aboveSiblingsDb < -plainlyBelowDb) return { factor: 1 / telling, words: dead };
  if (aboveSiblingsDb > plainlyAboveDb) {
    const words = `noise ${aboveSiblingsDb.toFixed(0)} dB above its siblings': a live stage hears its open input`;
    return { factor: telling, words: [words] };
  }
  if (siblingsAboveQuietestDb === undefined) {
    const amplified = inputDbu !== undefined && inputDbu < highGainDbu;
    const alike = aboveSiblingsDb > -plainlyBelowDb / 2;
    return amplified && alike ? { factor: hinting, words: alive } : { factor: 1, words: [] };
  }
  if (siblingsAboveQuietestDb < leastAddedDb) return { factor: 1, words: [] };
  return aboveSiblingsDb > -siblingsAboveQuietestDb / 2
    ? { factor: telling, words: alive }
    : { factor: 1 / telling, words: dead };
}
