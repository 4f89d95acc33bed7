import { outputSteps } from "./profiles/constants.js";

/** How many outputs the markers can distinguish. */
export const mostOutputs = outputSteps ** 2 - 1;

/**
 * The steps by which the markers of an output differ from those of a signal played alone: one for
 * the start marker and one for the end marker, together the two digits of the output's number.
 *
 * @param output from 1
 * @throws RangeError for a number outside 1 to {@link mostOutputs}
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
 * The output named by two markers; undefined for a signal that was played alone.
 *
 * @example
 * const { start, end } = getOutputSteps(5);
 * getOutput(start, end); // 5
 */
export function getOutput(start: number, end: number): number | undefined {
  const output = outputSteps * start + end;
  return output === 0 ? undefined : output;
}
