import { formatDb, formatHz, isPredicted } from "../../diagnose/cause-kind.js";
import { findCause } from "../../diagnose/causes.js";
import { findCheck } from "../../diagnose/checks/check-kinds.js";
import type { Evidence, EvidenceFigures, EvidenceLine } from "../../diagnose/evidence.js";
import type { Cause } from "../../diagnose/types.js";
import { getReadingName } from "../../measure/reading-kinds.js";
import { formatCount } from "../../text/format-count.js";
import { formatList } from "../../text/format-list.js";
import { formatSigned } from "../../text/format-signed.js";
import { formatHeard } from "../not-measured/format-heard.js";
import { putIntoWords, type Wording } from "../wording.js";

type ReadingEvidence = Extract<Evidence, { reading: string }>;

const wording: Wording<Evidence> = {
  "no-return": ({ heard }) => `no return in its recording: ${formatHeard(heard)}`,
  "side-silent": ({ heard }) => formatHeard(heard),
  "other-side-through": () =>
    "the other side comes through: everything that both share works, up to the pan",
  "louder-than-noise": ({ levelDbfs }) =>
    `${formatSigned(levelDbfs.toFixed(0))} dBFS: far above the noise of any stage`,
  "loud-sound": ({ sound, clippedShare }) =>
    ({
      stuck: "it stays at one value, or jumps from one end of the scale to the other",
      driven: `${formatPercent(clippedShare)} % of its samples are at full scale: something drives it to its limits`,
      tone: "a steady tone, judging by its crest factor",
      programme: "sound that comes and goes as music or speech does, or noise",
    })[sound],
  "noise-as-siblings": () => "as noisy as its siblings: the stage works, but nothing feeds it",
  "noise-below-siblings": ({ byDb }) =>
    `noise ${byDb.toFixed(0)} dB below its siblings': whatever makes their noise does not get through`,
  "noise-above-siblings": ({ byDb }) =>
    `noise ${byDb.toFixed(0)} dB above its siblings': a live stage amplifies the noise of its open input`,
  "fits-no-cause": () => "what stands out fits no single cause known to the program",
  "reading-unmoved": ({ reading }) => `${getReadingName(reading)} is as on its siblings`,
  "reading-unexplained": (seen) => `${formatMoved(seen)} is not explained by it`,
  "reading-otherwise": (seen) => `${formatMoved(seen)} is not what it would cause`,
  "response-beyond": ({ byDb, atHz }) => {
    const at = atHz < 1000 ? `${atHz.toFixed(0)} Hz` : `${(atHz / 1000).toFixed(1)} kHz`;
    return `response differs by a further ${formatDb(byDb)} at ${at}`;
  },
  "capacitance-left": ({ share, from, until, usualHz, lost20HzDb, heardFrom }) => {
    const left = `about ${formatPercent(share)} % of its siblings' capacitance left (${formatPercent(from)} to ${formatPercent(until)} %; their corner: ${formatHz(usualHz)})`;
    return heardFrom === undefined
      ? left
      : `${left}: ${formatDb(lost20HzDb)} at 20 Hz, not yet audible; −1 dB there from about ${formatPercent(heardFrom)} % on`;
  },
  "capacitors-unseen": ({ belowHz }) =>
    `of the other capacitors, a round shows only those whose own corner is above ${belowHz.toPrecision(2)} Hz: larger ones, and decouplers, may be as dried out`,
  "level-breaks": ({ segments }) => {
    const parts = segments.map(({ segment, count, deepestDb, longestS }) => {
      const often = ["once", "twice"][count - 1] ?? formatCount(count, "time");
      const most = count === 1 ? "" : "up to ";
      return `in ${segment} ${often}, by ${most}${formatDb(deepestDb)}, for ${most}${(1000 * longestS).toFixed(0)} ms`;
    });
    return `the level breaks ${parts.join("; ")}`;
  },
  "stray-tone": ({ hz, level, unit }) => {
    const pitch = hz < 1000 ? `${hz.toFixed(0)} Hz` : `${(hz / 1000).toFixed(2)} kHz`;
    return `a steady tone of ${pitch} while nothing plays, at ${formatSigned(level.toFixed(0))} ${unit}`;
  },
  "fed-alone": ({ part }) => `no other path of its kind was fed by ${part}`,
  "same-way": ({ part, paths, of }) =>
    `${formatList(paths)} show the same, of ${formatCount(of, "path")} that went through ${part}`,
  "measure-as-each-other": ({ paths, inputs }) =>
    `${paths[0]} measures like the ${inputs[1]} paths, and ${paths[1]} like the ${inputs[0]} paths`,
  "of-cause": ({ cause, seen, figures }) => {
    const kind = findCause(cause);
    const words = kind && isPredicted(kind) ? kind.says?.[seen] : undefined;
    return (words as ((own: EvidenceFigures) => string) | undefined)?.(figures) ?? seen;
  },
  metered: ({ what, volts, isInOrder }) =>
    `${meterNames[what]} ${formatVolts(volts)} by the meter${isInOrder ? ": in order" : ""}`,
  "metered-out": ({ what, volts, nominal, tolerance }) => {
    const source = what === "phantom" ? " (IEC 61938)" : "";
    return `${formatVolts(volts)} measured, ${formatVolts(nominal)} ± ${formatVolts(tolerance)} expected${source}`;
  },
  checked: ({ check, outcome, source }) =>
    `${findCheck(check)?.words[outcome] ?? outcome} (${source}: ${check})`,
};

/**
 * What speaks for a cause or against it, in one line.
 *
 * @example
 * formatEvidence({ code: "metered", what: "rail", volts: -14.9, isInOrder: true });
 * // "supply rail −14.9 V by the meter: in order"
 */
export function formatEvidence(line: EvidenceLine): string {
  if (typeof line === "string") return line;
  return putIntoWords(wording, line);
}

/** A cause with the words that a round keeps. */
export function wordCause(cause: Cause): Cause {
  const { against, ready } = cause;
  return {
    ...cause,
    ...(ready === undefined ? {} : { ready: `${ready}${formatLeft(cause.evidence)}` }),
    evidence: cause.evidence.map(formatEvidence),
    ...(against === undefined ? {} : { against: against.map(formatEvidence) }),
  };
}

/** A path with the words for evidence that was added to its causes later. */
export function wordCauses<P extends { readonly causes: readonly Cause[] }>(path: P): P {
  return { ...path, causes: path.causes.map(wordCause) };
}

/** How much of a capacitor is left, for a reader who looks for one like it. */
function formatLeft(evidence: readonly EvidenceLine[]): string {
  const left = evidence.find(isCapacitanceLeft);
  if (left === undefined) return "";
  return ` (about ${formatPercent(left.share)} % of the siblings' capacitance is left)`;
}

function isCapacitanceLeft(
  line: EvidenceLine,
): line is Extract<Evidence, { code: "capacitance-left" }> {
  return typeof line !== "string" && line.code === "capacitance-left";
}

const meterNames: Readonly<Record<Extract<Evidence, { code: "metered" }>["what"], string>> = {
  phantom: "phantom supply",
  rail: "supply rail",
  direct: "DC voltage",
};

/** "gain −6.0 dB" */
function formatMoved({ reading, deviation, unit }: ReadingEvidence): string {
  const by = unit.startsWith("dB") ? formatDb(deviation) : deviation.toPrecision(2);
  return `${getReadingName(reading)} ${by}`;
}

function formatPercent(share: number): string {
  return (100 * share).toFixed(0);
}

function formatVolts(value: number): string {
  const size = Math.abs(value);
  const text =
    size < 1 ? `${Number((1000 * size).toPrecision(3))} mV` : `${Number(size.toPrecision(3))} V`;
  return value < 0 ? `−${text}` : text;
}
