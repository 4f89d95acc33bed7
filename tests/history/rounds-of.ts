import type { Round, RoundPath } from "../../src/history/types.js";
import type { Curve, Reading } from "../../src/measure/types.js";
import { aRound } from "./a-round.js";

export type Given = Partial<Omit<RoundPath, "readings" | "curves">> & {
  readonly readings?: Record<string, Reading>;
  readonly curves?: Record<string, Curve>;
};

/** A measured path of which nothing stands out, with these readings. */
export function path(name: string, given: Given = {}): RoundPath {
  const [strip, input] = name.split("/") as [string, string];
  return {
    path: name,
    strip,
    input,
    family: input,
    status: "measured",
    readings: {},
    absent: {},
    curves: {},
    oddness: 0,
    findings: [],
    causes: [],
    ...given,
  };
}

/** A round of a day with these paths. */
export function round(day: string, paths: readonly RoundPath[], more: Partial<Round> = {}): Round {
  return { ...aRound(day), id: `${day}-01`, paths, ...more };
}

/** Siblings `1/mic`, `2/mic`, … each with what the function gives it. */
export function family(count: number, given: (k: number) => Given, input = "mic"): RoundPath[] {
  return Array.from({ length: count }, (_, k) => path(`${k + 1}/${input}`, given(k)));
}
