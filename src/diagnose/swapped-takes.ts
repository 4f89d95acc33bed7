import { takesSwapped } from "./causes/takes-swapped.js";
import { describeCause } from "./causes.js";
import type { Cause } from "./types.js";

/** A path whose first cause is that another input was recorded. */
export interface Stranger {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly causes: readonly Cause[];
  /** Inputs of the family that it resembles. */
  readonly like: ReadonlySet<string>;
}

/** How often two paths that each measure like the other are swapped recordings (a guess). */
const mutual = 0.95;

/**
 * Two paths that each measure like the other's siblings were swapped: one mistake is likelier than
 * two. The counterpart is sought in the same strip; elsewhere two mistakes are as likely.
 *
 * @param strangers paths that their own readings assign to another family
 * @returns the causes of those that have a counterpart
 * @example
 * const causes = [{ ...describeCause(findCause("wrong-path-recorded")), evidence: [] }];
 * const stranger = (input, like) => ({
 *   path: `7/${input}`,
 *   strip: "7",
 *   input,
 *   causes,
 *   like: new Set([like]),
 * });
 * const found = findSwappedTakes([stranger("mic", "line"), stranger("line", "mic")]);
 * found.get("7/mic")[0].cause; // "takes-swapped"
 * findSwappedTakes([stranger("mic", "line")]).size; // 0
 */
export function findSwappedTakes(
  strangers: readonly Stranger[],
): ReadonlyMap<string, readonly Cause[]> {
  const found = new Map<string, readonly Cause[]>();
  for (const one of strangers) {
    const partners = strangers.filter(
      (other) =>
        other !== one &&
        other.strip === one.strip &&
        one.like.has(other.input) &&
        other.like.has(one.input),
    );
    if (partners.length === 1) found.set(one.path, causesOf(one, partners[0]));
  }
  return found;
}

function causesOf(one: Stranger, other: Stranger): readonly Cause[] {
  const [first, ...rest] = one.causes;
  const { probability = 1 } = first;
  const swap: Cause = {
    ...describeCause(takesSwapped),
    probability: rounded(mutual * Math.min(probability, other.causes[0].probability ?? 1)),
    evidence: [
      {
        code: "measure-as-each-other",
        paths: [one.path, other.path],
        inputs: [one.input, other.input],
      },
    ],
  };
  const alone = { ...first, probability: rounded(probability - (swap.probability ?? 0)) };
  return [swap, alone, ...rest];
}

const rounded = (share: number) => Math.max(0.01, Math.round(100 * share) / 100);
