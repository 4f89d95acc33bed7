import type { RoundFinding } from "../../history/types.js";
import { findCurveOfFinding } from "../../measure/curve-kinds.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { Finding, Observation } from "../../rank/types.js";
import { formatHertz } from "../../text/format-hertz.js";
import { formatHeard } from "../not-measured/format-heard.js";

/** Whether the siblings are "its siblings", or "siblings" under a head that says whose. */
type Against = "named" | "by-the-head";

type Figures = Omit<Finding, "observation">;
type Wording = {
  readonly [C in Observation["code"]]: (
    seen: Extract<Observation, { code: C }>,
    finding: Figures,
    against: Against,
  ) => string;
};

const wording: Wording = {
  deviates: ({ siblings, atLeast }, { reading, deviation, unit, atHz }, against) => {
    const name = nameOf(reading);
    // "distortion 12 dB above nominal: 61 dB above its siblings"
    const head = findReadingKind(reading)?.endsInLevel ? `${name}:` : name;
    const size = `${atLeast ? "at least " : ""}${formatSize(deviation)}${unitOf(unit)}`;
    const side = deviation > 0 ? "above" : "below";
    const at = atHz === undefined ? "" : ` at ${formatHertz(atHz)}`;
    return `${head} ${size} ${side} ${formatSiblings(siblings, against)}${at}`;
  },
  unlike: ({ siblings }, { reading }) => {
    const { name = reading, values } = findReadingKind(reading) ?? {};
    const against = `${name} ${values?.unlike ?? "unlike"} against ${formatSiblings(siblings, "named")}`;
    return siblings === 1 ? `${against}: one of the two is wrong` : against;
  },
  "nothing-back": ({ heard }) => `nothing of the signal came back (${formatHeard(heard)})`,
};

/**
 * What stands out, in one line; an older round holds only the words.
 *
 * @param against `by-the-head` if the head of a table says what it is compared with
 * @example
 * // formatFinding(finding): "noise 9.1 dB above its siblings"
 */
export function formatFinding(finding: RoundFinding, against: Against = "named"): string {
  const { observation, words = "", elseAs, side, ...figures } = finding;
  if (observation === undefined) return words;
  const word = wording[observation.code] as (...args: unknown[]) => string;
  const ofSide = side === undefined ? "" : ` (${side} side)`;
  const rest =
    elseAs === undefined ? "" : ", and everything else as if another input had been recorded";
  return `${word(observation, figures, against)}${ofSide}${rest}`;
}

/** A finding with the words that a round keeps beside its data. */
export function wordFinding(finding: RoundFinding): RoundFinding {
  const { reading, against, value, expected, deviation, unit, score, severity, ...rest } = finding;
  const words = formatFinding(finding);
  return { reading, against, value, expected, deviation, unit, score, severity, words, ...rest };
}

function nameOf(reading: string): string {
  return (findReadingKind(reading) ?? findCurveOfFinding(reading))?.name ?? reading;
}

function formatSiblings(siblings: number, against: Against): string {
  if (siblings === 1) return "its only sibling";
  return against === "named" ? "its siblings" : "siblings";
}

/** A difference of levels is in decibels, whatever their reference. */
function unitOf(unit: string): string {
  if (unit.startsWith("dB") && !unit.includes("/")) return " dB";
  return unit === "°" || unit === "" ? unit : ` ${unit}`;
}

/** Tenths below ten decibels, whole ones above. */
function formatSize(deviation: number): string {
  const size = Math.abs(deviation);
  return size < 9.95 ? size.toFixed(1) : size.toFixed(0);
}
