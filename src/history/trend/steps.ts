import { median } from "../../dsp/robust.js";
import type { SplitSeries } from "./jumps.js";

/** A reading that is steady between steps, all in the same direction: a contact, a joint. */
export interface StepLaw {
  readonly count: number;
  /** Years from the first round to the last, in which they came. */
  readonly years: number;
  /** The middle step, the smallest and the largest, on the scale of the series, with their sign. */
  readonly step: number;
  readonly least: number;
  readonly most: number;
  /** The present value of the series. */
  readonly lastY: number;
}

/** A single step may be anything; two or more are expected to go on. */
const fewestSteps = 2;

/**
 * The steps of a series, if there are two or more, all in the same direction.
 *
 * @param worse 1 if the reading rises with age, −1 if it falls
 */
export function fitSteps({ points, jumps }: SplitSeries, worse: 1 | -1): StepLaw | undefined {
  const steps = jumps.map(({ y, expected }) => y - expected);
  const [first, last] = [points[0], points.at(-1)];
  if (steps.length < fewestSteps || first === undefined || last === undefined) return undefined;
  if (steps.some((step) => step * worse <= 0)) return undefined;
  const sizes = steps.map(Math.abs);
  const now = points.filter(({ epoch }) => epoch === last.epoch).map(({ y }) => y);
  return {
    count: steps.length,
    years: last.years - first.years,
    step: worse * median(sizes),
    least: worse * Math.min(...sizes),
    most: worse * Math.max(...sizes),
    lastY: median(now),
  };
}

/** Nobody waits longer. */
const mostYears = 1000;
const halvings = 60;

/**
 * When a series in steps reaches a height: steps come at random at a rate that is known only from
 * those seen (a Poisson process, its rate by a gamma distribution of so many events in so many years),
 * so that the number in the years to come is negative binomial (A. Gelman et al., "Bayesian Data
 * Analysis", 3rd ed. 2013, section 2.6). So many steps of the middle size lead there; the interval of
 * 95 % holds those of the largest and of the smallest size too.
 *
 * @returns years after the last round; undefined if no step leads there
 */
export function computeStepCrossing(
  law: StepLaw,
  height: number,
): { readonly years: number; readonly from: number; readonly until: number } | undefined {
  const needed = (step: number) => Math.ceil((height - law.lastY) / step - 1e-9);
  if (!(needed(law.step) >= 1)) return undefined;
  return {
    years: waitFor(law, needed(law.step), 0.5),
    from: waitFor(law, Math.max(1, needed(law.most)), 0.025),
    until: waitFor(law, needed(law.least), 0.975),
  };
}

/** Years by which this many steps have come, for a probability. */
function waitFor({ count, years }: StepLaw, steps: number, probability: number): number {
  let [low, high] = [0, mostYears];
  for (let k = 0; k < halvings; k++) {
    const middle = (low + high) / 2;
    if (computeChanceOf(steps, middle, count, years) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * How likely at least this many steps come within a time, after `count` of them in `years`: 1 minus
 * the negative binomial sum.
 */
export function computeChanceOf(
  steps: number,
  within: number,
  count: number,
  years: number,
): number {
  const stay = years / (years + within);
  let term = stay ** count;
  let fewer = 0;
  for (let j = 0; j < steps; j++) {
    fewer += term;
    term *= ((count + j) / (j + 1)) * (1 - stay);
  }
  return 1 - fewer;
}
