import { outputSteps } from "./profiles/constants.js";

/** How many outputs can be told apart by their markers. */
export const mostOutputs = outputSteps ** 2 - 1;

/**
 * The steps by which the markers of an output differ from those of a signal that is played alone:
 * the start marker's and the end marker's, as the two digits of its number.
 *
 * @param output from 1
 * @throws RangeError for an output that there is not
 * @example
 * getOutputSteps(6); // { start: 1, end: 2 }
 */
export function getOutputSteps(output: number): { readonly start: number; readonly end: number } {
  if (!Number.isInteger(output) || output < 1 || output > mostOutputs) {
    throw new RangeError(`no output ${output}: they run from 1 to ${mostOutputs}`);
  }
  return { start: Math.floor(output / outputSteps), end: output % outputSteps };
}

/**
 * The output that two markers name; undefined for a signal that was played alone.
 *
 * @example
 * const { start, end } = getOutputSteps(5);
 * getOutput(start, end); // 5
 */
export function getOutput(start: number, end: number): number | undefined {
  const output = outputSteps * start + end;
  return output === 0 ? undefined : output;
}
