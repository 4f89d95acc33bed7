import type { Curve } from "../measure/types.js";
import type { FamilyCurve, FamilyMembers, FamilyStats } from "./family-stats.js";
import { formatResponseFinding } from "./phrases.js";
import { scoreSiblingDeviation } from "./robust-stats.js";
import { classifySeverity, getThresholdFactor } from "./severity.js";
import type { Finding } from "./types.js";

/** A path's response against its family's median curve in one part of the band. */
interface CurveFinding {
  readonly path: string;
  /** Which part of the band. */
  readonly part: "low" | "middle" | "high";
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

/** A difference smaller than this is of no concern, decibels. */
export const responseLeastDb = 0.6;
export const assumedResponseStdDevDb = responseLeastDb / 4;
/** A difference must hold over this many neighbouring points of the 1/24-octave grid. */
const sustained = 5;

/**
 * Compares responses as curves: at every frequency the siblings' median and robust scale, and
 * of each part of the band the largest difference that neighbours share.
 */
export function compareResponses(
  family: FamilyMembers,
  usual: FamilyStats | undefined,
): readonly CurveFinding[] {
  const crowd = usual?.curves.response?.points;
  if (!crowd) return [];
  const rows = family.flatMap(({ path, measurement }) => {
    const curve = measurement.curves.response;
    return curve ? [{ path, curve }] : [];
  });
  return rows.flatMap(({ path, curve }) =>
    parts.flatMap(({ part, fromHz, toHz }) => {
      const worst = worstIn(curve, crowd, usual.excess, fromHz, toHz);
      return worst ? [{ path, part, ...worst }] : [];
    }),
  );
}

function worstIn(
  curve: Curve,
  crowd: FamilyCurve["points"],
  excess: number,
  fromHz: number,
  toHz: number,
) {
  const scores: { score: number; significance: number; deviation: number; i: number }[] = [];
  curve.x.forEach((hz, i) => {
    const scatter = crowd[i];
    if (hz < fromHz || hz >= toHz || !scatter) return;
    scores.push({
      ...scoreSiblingDeviation(
        curve.y[i],
        scatter,
        curve.uncertainty[i],
        assumedResponseStdDevDb,
        excess,
      ),
      i,
    });
  });
  let worst: { significance: number; deviation: number; score: number; i: number } | undefined;
  for (let first = 0; first + sustained <= scores.length; first++) {
    const run = scores.slice(first, first + sustained);
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
  const least = responseLeastDb * getThresholdFactor(count);
  // Of two that differ, the one that lost level is more likely the faulty one.
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
    words: formatResponseFinding(deviation, atHz, count),
    atHz,
  };
  return { harmful: harmful ? Math.abs(score) : 0, ...(finding ? { finding } : {}) };
}
