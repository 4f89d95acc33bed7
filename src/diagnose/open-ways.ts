import type { OpenWay } from "../rank/shared/find-open-ways.js";
import { passWay } from "./causes/pass-way.js";
import { describeCause } from "./causes.js";
import type { Cause } from "./types.js";

/** Where the readings do not tell strip from output, neither is likelier. */
const even = 0.5;

/**
 * Causes of paths whose findings may as well be those of an output or a bus that others went through
 * too: that comes first, since another output is tried before a strip is opened.
 *
 * @param causes of a path, by its own readings alone
 * @param way undefined where its findings are its own
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
  const own = causes.map((one) =>
    one.probability === undefined
      ? one
      : { ...one, probability: Math.max(0.01, Math.round(100 * even * one.probability) / 100) },
  );
  return [shared, ...own];
}
