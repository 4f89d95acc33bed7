import type { MeterVerdict } from "../../service/meter/judge.js";
import { formatQuantity } from "../../service/meter/quantity.js";
import type { MeterPoint, MeterRemark, MeterSaying } from "../../service/meter/sayings.js";
import type { MeterValue } from "../../service/notebook/schema.js";
import { putIntoWords, type Wording } from "../wording.js";

/** The condition for measuring parts in circuit. */
const safely = "with the desk off, unplugged and discharged";

const sayings: Wording<MeterSaying> = {
  out: ({ value: one, tolerance, standard }) => {
    const { at, value, unit, nominal = 0 } = one;
    const range = `${formatQuantity(nominal, unit)} ± ${formatQuantity(tolerance, unit)}`;
    return `${named(at)}${formatQuantity(value, unit)}, ${range} expected${sourceOf(standard)}`;
  },
  "in-order": ({ values, tolerance, standard }) => {
    const { unit } = values[0];
    const nominals = values.flatMap(({ nominal }) =>
      nominal === undefined ? [] : [formatQuantity(nominal, unit)],
    );
    const each = [...new Set(nominals)].join(" and ");
    return `${formatMeterValues(values)}: in order, ${each} ± ${formatQuantity(tolerance, unit)} expected${sourceOf(standard)}`;
  },
  "pins-differ": ({ apart }) => `the pins differ by ${formatQuantity(apart, "V")}`,
  direct: ({ values, part, isInOrder }) => {
    const read = formatRead(values, part);
    return isInOrder ? `${read}: in order` : `${read}, where there should be none`;
  },
  "gain-not-said": ({ values, part }) =>
    `${formatRead(values, part)}: not judged; say what gain follows, e.g. --part "${part}, 40 dB", or measure at the end of the strip`,
  "becomes-too-much": ({ values, part, gainDb, after, most }) =>
    `${formatRead(values, part)}; ${formatBecomes(gainDb, after)}, no more than ${formatQuantity(most, "V")} expected`,
  "feeds-differ": ({ values, others, part, share }) =>
    `${formatMeterValues(values)} and ${formatMeterValues(others)} (${part}) differ by ${(100 * share).toFixed(1)} %, no more than 0.4 % expected (IEC 61938)`,
  "no-nominal": ({ values, of }) => {
    const how =
      of === "rails"
        ? "give its nominal value with --nominal, or with `rails` in desk.yaml"
        : "give its nominal value with --nominal";
    return `${formatMeterValues(values)}: not judged; ${how}`;
  },
};

const match = "the two must match within 0.4 % (IEC 61938)";

const remarks: Wording<MeterRemark> = {
  "matched-feeds": ({ most }) =>
    `feed resistors matched within 0.4 % (IEC 61938) explain a difference of no more than ${formatQuantity(most, "V")}, the meter's own digits included`,
  "rails-unusual": ({ values }) =>
    `${formatMeterValues(values)} is outside any usual range (9 to 50 V, common practice): treat it as a fault until its nominal value is known`,
  "rails-unlike": ({ apart }) =>
    `they differ by ${formatQuantity(apart, "V")}, and the rails of most desks are equal (common practice): measure both at the next strip`,
  becomes: ({ gainDb, after }) => formatBecomes(gainDb, after),
  "inaudible-without-gain": () => "up to 20 mV is inaudible if no gain follows (common practice)",
  "gain-may-follow": () =>
    "in order if no gain follows: through 40 dB of gain, 20 mV would become 2 V (common practice)",
  "capacitor-may-block": () =>
    "if a capacitor after that gain blocks it, only the control scratches (common practice)",
  "in-place": () => `measured in circuit it counts only ${safely}`,
  "measure-other-feed": () => `measure the other feed resistor too: ${match}`,
  "if-it-feeds-phantom": () =>
    `if it feeds phantom, measure the other one too and call both \`--part "… feed"\`: ${match}`,
};

const points: Wording<MeterPoint> = {
  "feed-open": ({ at }) =>
    `${at}: feed resistor open, its joint broken, or the pin shorted to ground; measure the resistor ${safely}`,
  "feed-off-value": ({ at }) =>
    `${at}: feed resistor out of tolerance, if anything was plugged in: measure both ${safely}; they must match within 0.4 %`,
  "feed-leak": ({ at, amps, ohm }) =>
    `${at}: a leaky input capacitor or protection diode: with nothing plugged in, ${(1000 * amps).toPrecision(2)} mA would flow through the feed resistor of ${formatQuantity(ohm, "Ω")}`,
  "phantom-shared": ({ strips }) =>
    `the shared supply or its feed: strip ${strips.join(", ")} is out of range too`,
  "rails-shared": ({ strips }) =>
    `the shared supply or its feed${strips.length > 0 ? `: strip ${strips.join(", ")} is out of range too` : ""}; leave supply work to licensed people`,
  "resistor-reads-low": ({ name }) =>
    `${name}: in circuit it reads low if other parts are in parallel: lift one end, ${safely}, and measure again before replacing it`,
  "resistor-reads-high": ({ name }) =>
    `${name} is out of tolerance or open: nothing in parallel can make it read high`,
  "capacitor-reads-low": ({ name }) =>
    `${name} has dried out: a capacitor in parallel can only make it read high; lift one end, ${safely}, and measure again to be sure`,
  "capacitor-reads-high": ({ name }) =>
    `${name}: in circuit it reads high if other parts are in parallel, or if it leaks: lift one end, ${safely}, and measure again before judging it`,
  "replace-pair": ({ parts }) => `${parts.join(" and ")}: replace both as a matched pair`,
  "phantom-regulator": () =>
    "the phantom supply's regulator, as no part of a strip can raise the voltage: measure two other strips, and leave phantom off until it is repaired",
  "wrong-phantom-nominal": () =>
    "a wrong nominal value: does this desk feed another voltage (`phantom` in desk.yaml)?",
  "phantom-supply": () => "the phantom supply or its feed; leave supply work to licensed people",
  "phantom-switch": () =>
    "the strip's phantom switch, its feed or decoupling; the shared supply, if the next strip shows the same",
  "strip-ground": () =>
    "the strip's ground, open or off its connector: both rails are shifted by the same voltage, and the voltage between them is right",
  "rail-regulator": () =>
    "the shared supply's regulator, as no part of a strip can raise a rail: measure the same rail at two other strips at once, then switch the desk off and leave it off, as op amps may not survive it; leave supply work to licensed people",
  "rail-fuse": () =>
    "the strip's fuse, feed resistor or supply contact is open; or a decoupling capacitor after it is shorted",
  "rail-overload": () =>
    "a part that draws too much, so that the feed resistor drops the difference: look for a hot op amp or decoupling capacitor with an infrared thermometer; never touch it, as it is live",
  "supply-if-next-too": () => "the shared supply, if the next strip shows the same",
  "op-amp-failed": () =>
    "the op amp before that point has failed, is latched or is fed with DC voltage: measure its output and its inputs",
  "capacitor-shorted": () =>
    "a coupling capacitor before that point is shorted or the wrong way round",
  "capacitor-leaks": () => "the coupling capacitor before that point leaks",
  "op-amp-offset": () => "an op amp's offset, if the capacitor is good",
};

/** A verdict on a hand reading in words, one line each. */
export interface WordedVerdict {
  readonly words: readonly string[];
  readonly remarks: readonly string[];
  readonly pointsTo: readonly string[];
}

/**
 * What a hand reading says, in words: values and what is expected, remarks, and what it points to.
 */
export function formatMeterVerdict({
  said,
  remarks: known,
  pointsTo,
}: MeterVerdict): WordedVerdict {
  return {
    words: said.map(formatMeterSaying),
    remarks: known.map(formatMeterRemark),
    pointsTo: pointsTo.map(formatMeterPoint),
  };
}

/** The value of a hand reading and what is expected. */
export function formatMeterSaying(saying: MeterSaying): string {
  return putIntoWords(sayings, saying);
}

/** What else should be known about a hand reading. */
export function formatMeterRemark(remark: MeterRemark): string {
  return putIntoWords(remarks, remark);
}

/** What a hand reading that is out of range points to. */
export function formatMeterPoint(point: MeterPoint): string {
  return putIntoWords(points, point);
}

/** A verdict as `--json` prints it: its words, and the findings as data. */
export function wordMeterVerdict(verdict: MeterVerdict) {
  const { verdict: outcome, findings } = verdict;
  return { verdict: outcome, ...formatMeterVerdict(verdict), findings };
}

/** "pin 2 31.2 V, pin 3 47.8 V". */
export function formatMeterValues(values: readonly MeterValue[]): string {
  return values.map(({ at, value, unit }) => named(at) + formatQuantity(value, unit)).join(", ");
}

function named(at: string): string {
  return at === "value" ? "" : `${at} `;
}

function formatRead(values: readonly MeterValue[], part: string | undefined): string {
  return `${formatMeterValues(values)}${part === undefined ? "" : ` at ${part}`}`;
}

function formatBecomes(gainDb: number, after: number): string {
  return `through ${gainDb} dB of gain it becomes ${formatQuantity(after, "V")}`;
}

function sourceOf(standard: "phantom" | undefined): string {
  return standard === undefined ? "" : " (IEC 61938)";
}
