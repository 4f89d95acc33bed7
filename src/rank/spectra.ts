import { type CurveKind, curveKinds } from "../measure/curve-kinds.js";
import type { Aspect } from "../measure/reading-kind.js";
import type { Curve } from "../measure/types.js";
import type { FamilyCurve, FamilyMembers, FamilyStats } from "./family-stats.js";
import {
  type DeviationScore,
  minInDeviations,
  scoreDeviation,
  scoreSiblingDeviation,
} from "./robust-stats.js";
import { classifySeverity, getThresholdFactor } from "./severity.js";
import type { Finding } from "./types.js";

/** A curve in which more is worse. */
type Spectrum = CurveKind & Required<Pick<CurveKind, "rise">>;

const spectra = curveKinds.filter((kind): kind is typeof kind & Spectrum => "rise" in kind);

/** Decibels; a point this close to the method's floor says nothing about the path. */
const overFloorDb = 3;

/** A path's spectrum relative to its family's median curve. */
interface SpectrumFinding {
  readonly path: string;
  readonly aspect: Aspect;
  /** Aspects whose readings may make it redundant. */
  readonly saidBy: readonly Aspect[];
  readonly harmful: number;
  readonly finding?: Finding;
}

/**
 * Compares noise spectra and distortion against frequency as curves: at every frequency the
 * siblings' median and robust scale, and for each curve the largest rise shared by neighbouring
 * points. Lower noise or distortion than the siblings' is not a finding.
 *
 * @example
 * const x = buildOctaveGrid(3, 20, 20_000);
 * const noise = (rise) => ({
 *   x,
 *   y: x.map((hz) => (hz > 200 && hz < 2000 ? -120 + rise : -120)),
 *   uncertainty: x.map(() => 0.2),
 *   xUnit: "Hz",
 *   yUnit: "dBFS",
 * });
 * const family = [0, 0, 0, 0, 0, 12].map((rise, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: { readings: {}, absent: {}, curves: { noise: noise(rise) } },
 * }));
 * const found = compareSpectra(family, computeFamilyStats(family)).filter(({ finding }) => finding);
 * found.length; // 1
 * found[0].path; // "6/mic"
 * found[0].finding.deviation; // 12
 */
export function compareSpectra(
  family: FamilyMembers,
  usual: FamilyStats | undefined,
): readonly SpectrumFinding[] {
  return spectra.flatMap((kind) => {
    const crowd = usual?.curves[kind.id]?.points;
    if (!crowd) return [];
    return family.flatMap(({ path, measurement }) => {
      const curve = measurement.curves[kind.id];
      const worst = curve && worstRise(curve, crowd, usual.excess, kind);
      return worst ? [{ path, aspect: kind.aspect, saidBy: kind.rise.saidBy, ...worst }] : [];
    });
  });
}

function worstRise(curve: Curve, crowd: FamilyCurve["points"], excess: number, kind: Spectrum) {
  const { leastDb, sustained } = kind.rise;
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
    reading: kind.rise.finding,
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
  return { harmful: score, ...(finding ? { finding } : {}) };
}
