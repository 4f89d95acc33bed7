import type { FaultPlace } from "../../diagnose/types.js";

type Wording = {
  readonly [C in FaultPlace["code"]]: (place: Extract<FaultPlace, { code: C }>) => string;
};

const inBrackets = (stages: readonly string[]) =>
  stages.length === 0 ? "" : ` (${stages.join(", ")})`;

const wording: Wording = {
  "every-input": ({ stages }) =>
    `on every input of the strip: after they join${inBrackets(stages)}`,
  "one-input": ({ stages }) => `on this input alone: before the inputs join${inBrackets(stages)}`,
  "some-inputs": ({ inputs, without, stages }) => {
    const on = `on ${inputs.join(" and ")} but not on ${without.join(" and ")}`;
    return stages.length === 0
      ? `${on}: in what these share, or in each individually`
      : `${on}: in what only these share${inBrackets(stages)}`;
  },
  "other-path-too": ({ path }) =>
    `${path} is assigned to another path too: most likely the two takes are swapped`,
};

/**
 * Where in a strip a fault is, in words.
 *
 * @example
 * formatFaultPlace({ code: "every-input", stages: ["fader"] });
 * // "on every input of the strip: after they join (fader)"
 */
export function formatFaultPlace(place: FaultPlace): string {
  return (wording[place.code] as (place: FaultPlace) => string)(place);
}
