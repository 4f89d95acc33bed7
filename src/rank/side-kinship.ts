import { readingKinds } from "../measure/reading-kinds.js";
import { computeFamilyStats, type FamilyMembers } from "./family-stats.js";

/** Fewer paths than this do not show a correlation. */
const leastPaths = 5;
/** Number of scattering readings needed, counted by path. */
const leastPairs = 20;
/** A reading counts if its siblings scatter by this many of its own standard uncertainties. */
const ownScatter = 3;
/** Limit of a deviation in spreads: a fault is not scatter. */
const mostSpreads = 2;
/** Correlation of deviations from which both sides come from one signal. */
const alike = 0.6;
const unlike = 0.3;

/** Readings set by the knobs, which both sides share even if nothing else is. */
const byHand = (kind: (typeof readingKinds)[number]) => kind.aspect === "gain";

/**
 * Whether both sides of a family's paths come from one signal: parts that scatter before the pan
 * make both sides of a path differ equally from their siblings.
 *
 * @param sides of each path
 *
 * @returns undefined if too little scatters to decide
 * @example
 * compareSideScatter([]); // undefined
 */
export function compareSideScatter(
  sides: readonly {
    readonly first: FamilyMembers[number];
    readonly second: FamilyMembers[number];
  }[],
): "one" | "two" | undefined {
  if (sides.length < leastPaths) return undefined;
  const firsts = computeFamilyStats(sides.map(({ first }) => first));
  const seconds = computeFamilyStats(sides.map(({ second }) => second));
  if (!firsts || !seconds) return undefined;
  let product = 0;
  let power = 0;
  let pairs = 0;
  for (const kind of readingKinds) {
    const [a, b] = [firsts.readings[kind.id], seconds.readings[kind.id]];
    if (!a || !b || byHand(kind) || kind.values || a.scale === 0 || b.scale === 0) continue;
    if (firsts.bounded?.has(kind.id) || seconds.bounded?.has(kind.id)) continue;
    for (const { first, second } of sides) {
      const here = first.measurement.readings[kind.id];
      const there = second.measurement.readings[kind.id];
      if (!here || !there) continue;
      const tells = (scale: number, uncertainty: number) => scale > (ownScatter * uncertainty) / 2;
      if (!tells(a.scale, here.uncertainty) || !tells(b.scale, there.uncertainty)) continue;
      const x = clamp((here.value - a.median) / a.scale);
      const y = clamp((there.value - b.median) / b.scale);
      product += x * y;
      power += (x * x + y * y) / 2;
      pairs++;
    }
  }
  if (pairs < leastPairs || power === 0) return undefined;
  const correlation = product / power;
  if (correlation > alike) return "one";
  return correlation < unlike ? "two" : undefined;
}

function clamp(spreads: number): number {
  return Math.max(-mostSpreads, Math.min(mostSpreads, spreads));
}
