import {
  feedMatch,
  findPhantomSupply,
  getTolerance,
  type MeterFinding,
  phantomSupplies,
} from "../../diagnose/meter-tolerance.js";
import { findControl } from "../../diagnose/notes/read-note.js";
import type { MeterValue, NoteLine } from "../notebook/schema.js";
import type { Entry } from "../notebook/types.js";
import { formatQuantity } from "./quantity.js";

export type MeterLine = Extract<NoteLine, { kind: "meter" }>;

/** What a hand reading says. */
export interface MeterVerdict {
  /** `unjudged`: nobody has said what it ought to be. */
  readonly verdict: "in" | "out" | "unjudged";
  /** Value beside what is wanted, a line for each that is out; one line where all are in. */
  readonly words: readonly string[];
  /** What is to be known beside it, a line each. */
  readonly remarks: readonly string[];
  /** What a deviation points to, the likeliest first. */
  readonly pointsTo: readonly string[];
  /** The same as evidence for the causes of the strip's paths. */
  readonly findings: readonly MeterFinding[];
}

/** The last digit of two readings on a common meter, volts (common practice). */
const meterDigitsV = 0.2;

/** In place, and by a hand-held meter (common practice). */
const resistorShare = 0.05;
/** Electrolytics are sold at ± 20 % (common practice). */
const capacitorShare = 0.2;
/** How parts are measured in place. */
const safely = "with the desk off, unplugged and discharged";

/**
 * Judges a hand reading: phantom voltages by IEC 61938, all else by the nominal value written with
 * it, and says what a deviation points to.
 *
 * @param line the reading
 * @param others the notebook's other readings, to tell one strip's fault from the supply's
 */
export function judgeMeter(line: MeterLine, others: readonly Entry[] = []): MeterVerdict {
  const findings = listMeterFindings(line);
  switch (line.what) {
    case "phantom":
      return phantomVerdict(line, findings, others);
    case "rail":
      return railVerdict(line, findings, others);
    case "direct":
      return directVerdict(line, findings);
    default:
      return partVerdict(line, others);
  }
}

/** The voltages of a reading as evidence; parts measured in place say nothing of one cause alone. */
export function listMeterFindings({
  what,
  strip,
  input,
  values,
}: MeterLine): readonly MeterFinding[] {
  if (what === "resistor" || what === "capacitor" || strip === undefined) return [];
  return values.flatMap(({ value, nominal, tolerance }) =>
    nominal === undefined
      ? []
      : [
          {
            strip,
            ...(input === undefined ? {} : { input }),
            kind: what,
            value,
            nominal,
            ...(tolerance === undefined ? {} : { tolerance }),
          },
        ],
  );
}

function phantomVerdict(
  line: MeterLine,
  findings: readonly MeterFinding[],
  others: readonly Entry[],
): MeterVerdict {
  const { values } = line;
  const [first] = values;
  const nominal = first.nominal ?? 48;
  const words = values.filter(outside).map((one) => expected(one, " (IEC 61938)"));
  const remarks: string[] = [];
  const [a, b] = values;
  // As written: 48 less 47.61 is 0.39, not the 0.39000000000000057 of binary fractions.
  const apart = b === undefined ? 0 : Number(Math.abs(a.value - b.value).toPrecision(9));
  const most = Math.round(100 * (feedMatch * nominal + meterDigitsV)) / 100;
  if (apart > most) {
    words.push(`the pins differ by ${formatQuantity(apart, "V")}`);
    remarks.push(
      `feed resistors matched within 0.4 % (IEC 61938) explain a difference of no more than ${formatQuantity(most, "V")}, the meter's own digits included`,
    );
  }
  if (words.length === 0) {
    return inVerdict(inOrder(values, " (IEC 61938)"), findings);
  }
  return {
    verdict: "out",
    words,
    remarks,
    pointsTo: phantomPoints(line, nominal, apart > most, others),
    findings,
  };
}

function phantomPoints(
  line: MeterLine,
  nominal: number,
  unlike: boolean,
  others: readonly Entry[],
): readonly string[] {
  const { values } = line;
  const low = values.filter((one) => outside(one) && one.value < nominal);
  const high = values.filter((one) => outside(one) && one.value > nominal);
  if (high.length > 0) {
    return [
      "the phantom supply's regulator, as no part of a strip can raise the voltage: measure two other strips, and leave phantom off until it is repaired",
      "a wrong nominal value: does this desk feed another voltage (`phantom` in desk.yaml)?",
    ];
  }
  const points: string[] = [];
  if (unlike && values.length === 2) {
    const [lower, upper] = values[0].value < values[1].value ? values : [values[1], values[0]];
    const ohm = findPhantomSupply(nominal)?.feedOhm ?? phantomSupplies[48].feedOhm;
    if (lower.value < 0.02 * nominal) {
      points.push(
        `${lower.at}: feed resistor open, its joint broken, or the pin shorted to ground; measure the resistor ${safely}`,
      );
    } else {
      const amps = (upper.value - lower.value) / ohm;
      points.push(
        `${lower.at}: a leaky input capacitor or protection diode: with nothing plugged in, ${(1000 * amps).toPrecision(2)} mA would flow through the feed resistor of ${formatQuantity(ohm, "Ω")}`,
        `${lower.at}: feed resistor off value, if anything was plugged in: measure both ${safely}; they must match within 0.4 %`,
      );
    }
  }
  if (low.length === values.length && isShared(line)) {
    points.push("the phantom supply or its feed; supply work is for licensed people");
  } else if (low.length === values.length) {
    const alike = othersOut(line, others);
    points.push(
      alike.length > 0
        ? `the shared supply or its feed: strip ${alike.join(", ")} is out of range too`
        : "the strip's phantom switch, its feed or decoupling; the shared supply, if the next strip shows the same",
    );
  }
  return points;
}

/** Other strips whose latest reading of the same kind is out. */
function othersOut(line: MeterLine, others: readonly Entry[]): readonly string[] {
  const strips = others.flatMap(({ line: other }) =>
    other.kind === "meter" &&
    other.what === line.what &&
    other.strip !== undefined &&
    other.strip !== line.strip &&
    other.values.every(outside)
      ? [other.strip]
      : [],
  );
  return [...new Set(strips)];
}

function railVerdict(
  line: MeterLine,
  findings: readonly MeterFinding[],
  others: readonly Entry[],
): MeterVerdict {
  const { values } = line;
  const out = values.filter(outside);
  if (values.every(({ nominal }) => nominal === undefined)) {
    const verdict = unjudged(values, "rails");
    const remark = describeUnequal(values);
    return remark === undefined ? verdict : { ...verdict, remarks: [remark] };
  }
  if (out.length === 0) return inVerdict(inOrder(values, ""), findings);
  const alike = othersOut(line, others);
  const high = out.filter(({ value, nominal = 0 }) => Math.abs(value) > Math.abs(nominal));
  const dead = out.filter(({ value, nominal = 0 }) => Math.abs(value) < 0.1 * Math.abs(nominal));
  const pointsTo =
    alike.length > 0 || isShared(line)
      ? [
          `the shared supply or its feed${alike.length > 0 ? `: strip ${alike.join(", ")} is out of range too` : ""}; supply work is for licensed people`,
        ]
      : high.length > 0
        ? [
            ...(isShifted(values)
              ? [
                  "the strip's ground, open or off its connector: both rails are shifted by the same voltage, and what lies between them is right",
                ]
              : []),
            "the shared supply's regulator, as no part of a strip can raise a rail: measure the same rail at two other strips at once, then switch the desk off and leave it off, as op amps may not stand it; supply work is for licensed people",
          ]
        : [
            ...(dead.length > 0
              ? [
                  "the strip's fuse or feed resistor open, or its supply contact; a shorted decoupling capacitor after it",
                ]
              : [
                  "a part that draws too much, so that the feed resistor drops the difference: look for a hot op amp or decoupling capacitor with an infrared thermometer, never by touch, as it is live",
                ]),
            "the shared supply, if the next strip shows the same",
          ];
  return {
    verdict: "out",
    words: out.map((one) => expected(one, "")),
    remarks: [],
    pointsTo,
    findings,
  };
}

/** Two rails that are usually alike, though nobody has said what they ought to be. */
function describeUnequal(values: MeterLine["values"]): string | undefined {
  const [a, b] = values.map(({ value }) => Math.abs(value));
  if (b === undefined) return undefined;
  const apart = Math.abs(a - b);
  if (apart <= railsApart * Math.max(a, b)) return undefined;
  return `they differ by ${formatQuantity(Number(apart.toPrecision(6)), "V")}, and the rails of most desks are alike (common practice): measure both at the next strip`;
}

/** Each within 5 % of its own nominal. */
const railsApart = 0.1;

/** Whether a rail reads too much, and not because the ground beside it has moved. */
export function isRaisedBySupply({ values }: Pick<MeterLine, "values">): boolean {
  const isHigh = values
    .filter(outside)
    .some(({ value, nominal = 0 }) => Math.abs(value) > Math.abs(nominal));
  return isHigh && !isShifted(values);
}

/** Whether plus and minus are out by the same voltage: the ground between them has moved. */
function isShifted(values: MeterLine["values"]): boolean {
  const shifts = values.flatMap(({ value, nominal }) =>
    nominal === undefined ? [] : [value - nominal],
  );
  const [a, b] = shifts;
  return (
    shifts.length === 2 && a * b > 0 && Math.abs(a - b) < 0.2 * Math.max(Math.abs(a), Math.abs(b))
  );
}

/** Whether a reading is of what feeds several strips: a supply, or the desk at large. */
function isShared({ strip, section, sectionKind }: MeterLine): boolean {
  return strip === undefined && (section === undefined || sectionKind === "supply");
}

function directVerdict(line: MeterLine, findings: readonly MeterFinding[]): MeterVerdict {
  const { values, part } = line;
  const gain = readGainAfter(part);
  if (gain !== undefined && !values.some(outside)) return amplifiedVerdict(line, gain, findings);
  const out = values.filter(outside);
  const where = part === undefined ? "" : ` at ${part}`;
  if (out.length === 0) {
    const verdict = inVerdict(`${formatMeterValues(values)}${where}: in order`, findings);
    const small = values.every(({ value }) => Math.abs(value) < smallV);
    return small ? verdict : { ...verdict, remarks: [gainFollows] };
  }
  const large = out.some(({ value }) => Math.abs(value) >= opAmpV);
  return {
    verdict: "out",
    words: [`${formatMeterValues(values)}${where}, where there should be none`],
    remarks: ["up to 20 mV is inaudible if no gain follows (common practice)"],
    pointsTo: large
      ? [
          "the op amp before that point, failed, latched or fed with DC voltage: measure its output and its inputs",
          "a coupling capacitor before that point that is shorted or the wrong way round",
        ]
      : [
          "the coupling capacitor before that point leaks",
          "an op amp's offset, if the capacitor is good",
        ],
    findings,
  };
}

/** Gain after a part, as its name says it: "mic input, 40 dB"; NaN where gain follows and nobody says how much. */
function readGainAfter(part: string | undefined): number | undefined {
  if (part === undefined) return undefined;
  const [, db] = /(\d+(?:[.,]\d+)?)\s*dB\b/i.exec(part) ?? [];
  if (db !== undefined) return Number(db.replace(",", "."));
  return findControl(part) === "gain" ? Number.NaN : undefined;
}

/** Direct voltage ahead of a gain, below what would do harm without it. */
function amplifiedVerdict(
  line: MeterLine,
  gainDb: number,
  findings: readonly MeterFinding[],
): MeterVerdict {
  const { values, part } = line;
  const largest = Math.max(...values.map(({ value }) => Math.abs(value)));
  const read = `${formatMeterValues(values)} at ${part}`;
  if (largest < smallV) return inVerdict(`${read}: in order`, findings);
  if (Number.isNaN(gainDb)) {
    return {
      verdict: "unjudged",
      words: [
        `${read}: not judged; say what gain follows, as in --part "${part}, 40 dB", or measure at the end of the strip`,
      ],
      remarks: [gainFollows],
      pointsTo: [],
      findings: [],
    };
  }
  const after = largest * 10 ** (gainDb / 20);
  const most = getTolerance({ strip: "", kind: "direct", value: 0, nominal: 0 });
  const become = `through ${gainDb} dB of gain it becomes ${formatQuantity(Number(after.toPrecision(2)), "V")}`;
  if (after <= most) return { ...inVerdict(`${read}: in order`, findings), remarks: [become] };
  return {
    verdict: "out",
    words: [`${read}; ${become}, no more than ${formatQuantity(most, "V")} expected`],
    remarks: [
      "if a capacitor after that gain blocks it, only the control scratches (common practice)",
    ],
    pointsTo: [
      "the coupling capacitor before that point leaks",
      "an op amp's offset, if the capacitor is good",
    ],
    findings: findings.map((one) => ({ ...one, tolerance: most / 10 ** (gainDb / 20) })),
  };
}

/** Direct voltage from here on is an op amp's output rather than a leak (common practice). */
const opAmpV = 1;
/** Direct voltage below this does no harm before a gain of 40 dB either: it becomes 100 mV. */
const smallV = 0.001;
const gainFollows =
  "in order if no gain follows: through 40 dB of gain, 20 mV would become 2 V (common practice)";

function inVerdict(words: string, findings: readonly MeterFinding[]): MeterVerdict {
  return { verdict: "in", words: [words], remarks: [], pointsTo: [], findings };
}

function partVerdict(line: MeterLine, others: readonly Entry[]): MeterVerdict {
  const { what, values, part } = line;
  const [one] = values;
  const name = part ?? what;
  if (one.nominal === undefined) return unjudged(values, "parts");
  if (!outside(one)) return feedVerdict(line, others) ?? inVerdict(inOrder(values, ""), []);
  const low = one.value < one.nominal;
  const points = {
    resistor: low
      ? `${name}: in circuit it reads low if other parts lie in parallel: lift one end, ${safely}, before it is replaced`
      : `${name} is off value or open: nothing in parallel can make it read high`,
    capacitor: low
      ? `${name} has dried out: a capacitor in parallel can only make it read high; lift one end, ${safely}, before it is judged`
      : `${name}: in circuit it reads high if other parts lie in parallel, or if it leaks: lift one end, ${safely}, before it is judged`,
  };
  return {
    verdict: "out",
    words: [expected(one, "")],
    remarks: [`measured in place it counts only ${safely}`],
    pointsTo: [points[what === "resistor" ? "resistor" : "capacitor"]],
    findings: [],
  };
}

/**
 * A resistor in order that may feed phantom: it has to match its partner more closely than its own
 * tolerance says.
 *
 * @returns undefined for a value that no phantom supply is fed through
 */
function feedVerdict(line: MeterLine, others: readonly Entry[]): MeterVerdict | undefined {
  const [{ value, nominal }] = line.values;
  const feeds = Object.values(phantomSupplies).map(({ feedOhm }): number => feedOhm);
  if (line.what !== "resistor" || nominal === undefined || !feeds.includes(nominal)) return;
  const inside = inVerdict(inOrder(line.values, ""), []);
  const partner = isFeed(line)
    ? others
        .map((entry) => entry.line)
        .filter(feedsWith(line))
        .at(-1)
    : undefined;
  if (partner === undefined) {
    const match = "the two must match within 0.4 % (IEC 61938)";
    const which = isFeed(line)
      ? `measure the other feed resistor too: ${match}`
      : `if it feeds phantom, measure the other one too and call both \`--part "… feed"\`: ${match}`;
    return { ...inside, remarks: [which] };
  }
  const [{ value: other }] = partner.values;
  const apart = (2 * Math.abs(value - other)) / (value + other);
  if (apart <= feedMatch) return inside;
  return {
    verdict: "out",
    words: [
      `${formatMeterValues(line.values)} and ${formatMeterValues(partner.values)} (${partner.part}) differ by ${(100 * apart).toFixed(1)} %, no more than 0.4 % expected (IEC 61938)`,
    ],
    remarks: [],
    pointsTo: [`${line.part} and ${partner.part}: replace both as a matched pair`],
    findings: [],
  };
}

const isFeed = ({ part = "" }: MeterLine) => /feed|phantom/i.test(part);

const feedsWith =
  (line: MeterLine) =>
  (other: Entry["line"]): other is MeterLine =>
    other.kind === "meter" &&
    other.what === line.what &&
    other.strip === line.strip &&
    other.input === line.input &&
    other.part !== line.part &&
    isFeed(other) &&
    other.values[0].nominal === line.values[0].nominal;

/** Values a reading may be off, in its unit. */
function toleranceHere({ unit, nominal = 0, tolerance, at }: MeterValue): number {
  if (tolerance !== undefined) return tolerance;
  if (unit === "Ω") return resistorShare * nominal;
  if (unit === "F") return capacitorShare * nominal;
  return getTolerance({
    strip: "",
    kind: at.startsWith("pin") ? "phantom" : nominal === 0 ? "direct" : "rail",
    value: 0,
    nominal,
  });
}

function outside(one: MeterValue): boolean {
  return one.nominal !== undefined && Math.abs(one.value - one.nominal) > toleranceHere(one);
}

function expected(one: MeterValue, source: string): string {
  const { at, value, unit, nominal = 0 } = one;
  const tolerance = formatQuantity(toleranceHere(one), unit);
  return `${named(at)}${formatQuantity(value, unit)}, ${formatQuantity(nominal, unit)} ± ${tolerance} expected${source}`;
}

function inOrder(values: readonly MeterValue[], source: string): string {
  const [one] = values;
  const limits = values
    .map(({ nominal }) => (nominal === undefined ? undefined : formatQuantity(nominal, one.unit)))
    .filter((text) => text !== undefined);
  const each = [...new Set(limits)].join(" and ");
  return `${formatMeterValues(values)}: in order, ${each} ± ${formatQuantity(toleranceHere(one), one.unit)} expected${source}`;
}

function unjudged(values: readonly MeterValue[], what: "rails" | "parts"): MeterVerdict {
  const how =
    what === "rails"
      ? "give its nominal value with --nominal, or with `rails` in desk.yaml"
      : "give its nominal value with --nominal";
  return {
    verdict: "unjudged",
    words: [`${formatMeterValues(values)}: not judged; ${how}`],
    remarks: [],
    pointsTo: [],
    findings: [],
  };
}

/** "pin 2 31.2 V, pin 3 47.8 V". */
export function formatMeterValues(values: readonly MeterValue[]): string {
  return values.map(({ at, value, unit }) => named(at) + formatQuantity(value, unit)).join(", ");
}

function named(at: string): string {
  return at === "value" ? "" : `${at} `;
}
