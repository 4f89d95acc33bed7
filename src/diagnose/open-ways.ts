import type { OpenWay } from "../rank/shared/find-open-ways.js";
import { passWay } from "./causes/pass-way.js";
import { describeCause } from "./causes.js";
import type { Cause } from "./types.js";

/**
 * Share of faults on a path that alone went through an output that are due to the output or its
 * cable (a guess).
 */
const fedAlone = 0.25;

/**
 * Causes of a path if nothing shows whether the strip is at fault or the output, which fed no other
 * path of its kind. The output comes second, and is tried before a strip is opened.
 *
 * @param causes of the path, by its own readings
 * @param output that fed it; undefined if it also fed others
 * @example
 * const causes = [{ ...describeCause(findCause("polarity-reversed")), probability: 0.8, evidence: [] }];
 * const [first, second] = withFedAlone(causes, "output 3");
 * first.probability; // 0.6
 * second.cause; // "pass-way"
 */
export function withFedAlone(
  causes: readonly Cause[],
  output: string | undefined,
): readonly Cause[] {
  const [first, ...others] = causes;
  if (output === undefined || first?.kind !== "fault") return causes;
  const way: Cause = {
    ...describeCause(passWay),
    probability: fedAlone,
    evidence: [{ code: "fed-alone", part: output }],
  };
  return [scale(first, 1 - fedAlone), way, ...others.map((one) => scale(one, 1 - fedAlone))];
}

function scale(cause: Cause, share: number): Cause {
  const { probability } = cause;
  if (probability === undefined) return cause;
  return { ...cause, probability: Math.max(0.01, Math.round(100 * share * probability) / 100) };
}

/** If the readings do not separate strip and output, both are equally likely. */
const even = 0.5;

/**
 * Causes of paths whose findings may also come from an output or a bus that other paths went
 * through. That comes first, since another output is tried before a strip is opened.
 *
 * @param causes of a path, by its own readings alone
 * @param way undefined if its findings are its own
 * @example
 * const way = { part: { kind: "output", name: "output 3" }, paths: ["3/line", "9/line"], of: 3 };
 * const causes = [{ ...describeCause(findCause("polarity-reversed")), probability: 0.9, evidence: [] }];
 * const [first, second] = withOpenWay(causes, way);
 * first.cause; // "pass-way"
 * second.probability; // 0.45
 */
export function withOpenWay(causes: readonly Cause[], way: OpenWay | undefined): readonly Cause[] {
  if (way === undefined) return causes;
  const { part, paths, of } = way;
  const shared: Cause = {
    ...describeCause(passWay),
    probability: even,
    evidence: [{ code: "same-way", part: part.name ?? part.kind, paths, of }],
  };
  return [shared, ...causes.map((one) => scale(one, even))];
}
