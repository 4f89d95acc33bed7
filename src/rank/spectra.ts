import type { Curve } from "../measure/types.js";
import type { FamilyCurve, FamilyMembers, FamilyStats } from "./family-stats.js";
import { formatSpectrumFinding } from "./phrases.js";
import {
  type DeviationScore,
  minInDeviations,
  scoreDeviation,
  scoreSiblingDeviation,
} from "./robust-stats.js";
import { classifySeverity, getThresholdFactor } from "./severity.js";
import type { Finding } from "./types.js";

/** A curve in which more is worse, and how it is judged. */
interface SpectrumKind {
  readonly id: string;
  /** In words of the trade, as it stands in a sentence. */
  readonly name: string;
  /** The aspect of a path that it shows, by the reading that stands for it. */
  readonly aspect: string;
  /** A difference smaller than this is of no concern, decibels. */
  readonly leastDb: number;
  /** So many neighbouring points must share a difference. */
  readonly sustained: number;
}

/**
 * The noise spectrum in third octaves, of which two neighbours must agree, so that a line of the
 * mains is left to the readings of hum; distortion against frequency, where a third of an octave
 * must.
 */
const spectrumKinds: readonly SpectrumKind[] = [
  { id: "noise", name: "noise spectrum", aspect: "noise", leastDb: 4, sustained: 2 },
  { id: "distortion", name: "distortion", aspect: "thd", leastDb: 6, sustained: 4 },
];

/** A point this near to what the method alone would give says nothing of the path, decibels. */
const overFloorDb = 3;

/** A path's spectrum against its family's median curve. */
interface SpectrumFinding {
  readonly path: string;
  readonly aspect: string;
  readonly harmful: number;
  readonly finding?: Finding;
}

/**
 * Compares noise spectra and distortion against frequency as curves: at every frequency the
 * siblings' median and robust scale, and of each curve the largest rise that neighbours share.
 * What is quieter or straighter than its siblings is left alone.
 */
export function compareSpectra(
  family: FamilyMembers,
  usual: FamilyStats | undefined,
): readonly SpectrumFinding[] {
  return spectrumKinds.flatMap((kind) => {
    const crowd = usual?.curves[kind.id]?.points;
    if (!crowd) return [];
    return family.flatMap(({ path, measurement }) => {
      const curve = measurement.curves[kind.id];
      const worst = curve && worstRise(curve, crowd, usual.excess, kind);
      return worst ? [{ path, aspect: kind.aspect, ...worst }] : [];
    });
  });
}

function worstRise(curve: Curve, crowd: FamilyCurve["points"], excess: number, kind: SpectrumKind) {
  const { leastDb, sustained } = kind;
  const points = curve.x.map((_, i): (DeviationScore & { readonly i: number }) | undefined => {
    const scatter = crowd[i];
    const floor = curve.floor?.[i];
    if (!scatter || (floor !== undefined && curve.y[i] - floor < overFloorDb)) return undefined;
    const granted = leastDb / minInDeviations;
    const own = curve.uncertainty[i];
    const free = scatter.count > 1 && excess === 1;
    const far = free
      ? scoreDeviation(curve.y[i], scatter, own, granted)
      : scoreSiblingDeviation(curve.y[i], scatter, own, granted, excess);
    return { ...far, i };
  });
  let worst: (DeviationScore & { readonly i: number }) | undefined;
  for (let first = 0; first + sustained <= points.length; first++) {
    const run = points.slice(first, first + sustained).flatMap((p) => p ?? []);
    if (run.length < sustained || run.some(({ score }) => score <= 0)) continue;
    const weakest = run.reduce((a, b) => (b.score < a.score ? b : a));
    if (!worst || weakest.score > worst.score) {
      const largest = run.reduce((a, b) => (b.deviation > a.deviation ? b : a));
      worst = { ...weakest, deviation: largest.deviation, i: largest.i };
    }
  }
  if (!worst) return undefined;
  const { score, significance, deviation, i } = worst;
  const count = crowd[i]?.count ?? 0;
  const least = leastDb * getThresholdFactor(count);
  const severity = classifySeverity(significance, deviation, least, true);
  const atHz = curve.x[i];
  const finding: Finding | undefined = severity && {
    reading: kind.id === "noise" ? "noiseCurve" : "distortionCurve",
    against: "siblings",
    value: curve.y[i],
    expected: curve.y[i] - deviation,
    deviation,
    unit: "dB",
    score,
    severity,
    words: formatSpectrumFinding(kind.name, deviation, atHz, count),
    atHz,
  };
  return { harmful: score, ...(finding ? { finding } : {}) };
}
