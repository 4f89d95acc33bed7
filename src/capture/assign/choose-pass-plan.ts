import type { PassPlan } from "../../desk/passes.js";
import type { SignalReturn } from "../types.js";
import {
  countMisses,
  hearPasses,
  isMultichannel,
  type NumberedPass,
  type PassFile,
  readPassNumber,
} from "./heard-passes.js";

/** Most times that a whole plan may have been played. */
const mostTimes = 3;

/**
 * Chooses which of several plans was recorded, e.g. that of some paths or of the whole desk. A plan
 * fits if it plays everything that was heard: no other output, pass or channels. If several fit, it
 * is the one of which all passes were heard.
 *
 * @returns undefined if more than one is possible and they assign different paths
 * @example
 * const plan = { passes: [], left: [] };
 * choosePassPlan([], [], [plan], () => 5)?.passes; // []
 */
export function choosePassPlan(
  returns: readonly SignalReturn[],
  files: readonly PassFile[],
  plans: readonly PassPlan[],
  turnS: (one: SignalReturn) => number,
): PassPlan | undefined {
  if (plans.length < 2) return plans[0];
  const heard = plans.map((plan) => {
    const passes = hearPasses(returns, files, plan, turnS);
    const times = passes.length / plan.passes.length;
    return { plan, passes, isWhole: Number.isInteger(times) && times >= 1 && times <= mostTimes };
  });
  const fitting = heard.filter(({ passes }) => passes.every(isOfPlan));
  const rest = fitting.length === 0 ? heard : fitting;
  const saying = new Set(rest.map(({ passes }) => describe(passes)));
  if (saying.size === 1 && isSure(rest[0], plans[0])) return rest[0].plan;
  const whole = rest.filter(({ isWhole }) => isWhole);
  return whole.length === 1 ? whole[0].plan : undefined;
}

/**
 * Whether recordings fit another plan, with different passes, as well as the chosen one.
 *
 * @example
 * const plan = { passes: [], left: [] };
 * fitsOtherPlan([], [], plan, [plan], () => 5); // false
 */
export function fitsOtherPlan(
  returns: readonly SignalReturn[],
  files: readonly PassFile[],
  chosen: PassPlan,
  plans: readonly PassPlan[],
  turnS: (one: SignalReturn) => number,
): boolean {
  const own = describe(hearPasses(returns, files, chosen, turnS));
  return plans.some((plan) => {
    if (plan === chosen) return false;
    const passes = hearPasses(returns, files, plan, turnS);
    return passes.every(isOfPlan) && describe(passes) !== own;
  });
}

/**
 * Whether the only fitting plan is certain: for any but the first, all of its passes must have been
 * heard, or every file must be named for its pass.
 */
function isSure(
  { plan, passes, isWhole }: { plan: PassPlan; passes: readonly NumberedPass[]; isWhole: boolean },
  first: PassPlan,
): boolean {
  if (plan === first || isWhole) return true;
  return passes.every(({ pass: { file } }) => readPassNumber(file) !== undefined);
}

/** Whether everything heard of a pass belongs to the planned pass. */
function isOfPlan({ pass: { returns }, planned }: NumberedPass): boolean {
  if (planned === undefined) return false;
  const outputs = new Set(planned.plays.map(({ output }) => output));
  if (returns.some(({ output = 1 }) => !outputs.has(output))) return false;
  // If all was recorded on one channel, channels say nothing.
  const isOne = new Set(returns.map(({ channel }) => channel)).size === 1;
  if (!isMultichannel(planned) || isOne) return true;
  return 2 * countMisses(returns, planned) <= returns.length;
}

/** Text of which path each return belongs to, for comparison. */
function describe(passes: readonly NumberedPass[]): string {
  return passes
    .flatMap(({ pass, planned }) =>
      pass.returns.map(({ file, startSample, channel, output }) => {
        const paths = (planned?.plays ?? []).filter((play) => play.output === output);
        return [file, startSample, channel, ...paths.map(({ path }) => path)].join();
      }),
    )
    .sort()
    .join("\n");
}
