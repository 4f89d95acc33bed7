import type { DeskFlow } from "./types.js";

/** Stages of all inputs after the point where they join (common practice, no source). */
const joined = ["low-cut", "equaliser", "insert jack", "fader", "pan and bus resistors"];

/** Signal flow if the desk file says nothing (common practice, no source). */
export function buildDefaultFlow(inputs: readonly string[]): DeskFlow {
  const stages = inputs.map((input) => [
    input,
    [`${input} socket`, `${input} input stage`, `${input} side of the input switch`, ...joined],
  ]);
  return { stages: Object.fromEntries(stages), shared: [] };
}
