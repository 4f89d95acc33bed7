import type { DeskFlow } from "./types.js";

/** What every input passes, from where the inputs of a strip join (common practice). */
const joined = ["low-cut", "equaliser", "insert jack", "fader", "pan and bus resistors"];

/** A desk whose file says nothing about its flow (common practice). */
export function buildDefaultFlow(inputs: readonly string[]): DeskFlow {
  const stages = inputs.map((input) => [
    input,
    [`${input} socket`, `${input} input stage`, `${input} side of the input switch`, ...joined],
  ]);
  return { stages: Object.fromEntries(stages), shared: [] };
}
