import {
  feedMatch,
  findPhantomSupply,
  getTolerance,
  type MeterFinding,
  phantomSupplies,
} from "../../diagnose/meter-tolerance.js";
import { findControl } from "../../diagnose/notes/read-by-rules.js";
import type { MeterValue, NoteLine } from "../notebook/schema.js";
import type { Entry } from "../notebook/types.js";
import type { MeterPoint, MeterRemark, MeterSaying } from "./sayings.js";

export type MeterLine = Extract<NoteLine, { kind: "meter" }>;

/** Verdict on a meter reading. */
export interface MeterVerdict {
  /** `unjudged`: its nominal value is not known. */
  readonly verdict: "in" | "out" | "unjudged";
  /**
   * The value and what is expected, one for each that is out of range; a single one if all are in
   * range.
   */
  readonly said: readonly MeterSaying[];
  /** Other remarks on it. */
  readonly remarks: readonly MeterRemark[];
  /** What a deviation indicates, the likeliest first. */
  readonly pointsTo: readonly MeterPoint[];
  /** The same as evidence for the causes of the strip's paths. */
  readonly findings: readonly MeterFinding[];
}

/** The last digit of two readings on a common meter, volts (common practice). */
const meterDigitsV = 0.2;

/** In circuit, with a hand-held meter (common practice). */
const resistorShare = 0.05;
/** Electrolytics are sold at ± 20 % (common practice). */
const capacitorShare = 0.2;

/**
 * Judges a meter reading: phantom voltages by IEC 61938, all others by the nominal value given with
 * it, and says what a deviation indicates.
 *
 * @param line the reading
 * @param others the notebook's other readings, to separate one strip's fault from the supply's
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

/**
 * The voltages of a reading as evidence. Parts are left out: measured in circuit they point to more
 * than one cause.
 */
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
  const said: MeterSaying[] = values
    .filter(outside)
    .map((one) => ({ ...toOut(one), standard: "phantom" }));
  const remarks: MeterRemark[] = [];
  const [a, b] = values;
  // Rounded: in binary, 48 − 47.61 is 0.39000000000000057.
  const apart = b === undefined ? 0 : Number(Math.abs(a.value - b.value).toPrecision(9));
  const most = Math.round(100 * (feedMatch * nominal + meterDigitsV)) / 100;
  if (apart > most) {
    said.push({ code: "pins-differ", apart });
    remarks.push({ code: "matched-feeds", most });
  }
  if (said.length === 0) {
    return inVerdict({ ...toInOrder(values), standard: "phantom" }, findings);
  }
  return {
    verdict: "out",
    said,
    remarks,
    pointsTo: listPhantomPoints(line, nominal, apart > most, others),
    findings,
  };
}

function listPhantomPoints(
  line: MeterLine,
  nominal: number,
  unlike: boolean,
  others: readonly Entry[],
): readonly MeterPoint[] {
  const { values } = line;
  const low = values.filter((one) => outside(one) && one.value < nominal);
  const high = values.filter((one) => outside(one) && one.value > nominal);
  if (high.length > 0) {
    return [{ code: "phantom-regulator" }, { code: "wrong-phantom-nominal" }];
  }
  const points: MeterPoint[] = [];
  if (unlike) {
    const [lower, upper] = values[0].value < values[1].value ? values : [values[1], values[0]];
    const ohm = findPhantomSupply(nominal)?.feedOhm ?? phantomSupplies[48].feedOhm;
    if (lower.value < 0.02 * nominal) {
      points.push({ code: "feed-open", at: lower.at });
    } else {
      const amps = (upper.value - lower.value) / ohm;
      points.push(
        { code: "feed-leak", at: lower.at, amps, ohm },
        { code: "feed-off-value", at: lower.at },
      );
    }
  }
  if (low.length === values.length && isShared(line)) {
    points.push({ code: "phantom-supply" });
  } else if (low.length === values.length) {
    const alike = othersOut(line, others);
    points.push(
      alike.length > 0 ? { code: "phantom-shared", strips: alike } : { code: "phantom-switch" },
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
    const apart = findUnequal(values);
    const unusual = values.filter(({ value }) => !isUsualRail(Math.abs(value)));
    return {
      ...verdict,
      remarks: [
        ...(unusual.length === 0 ? [] : [{ code: "rails-unusual", values: unusual } as const]),
        ...(apart === undefined ? [] : [{ code: "rails-unlike", apart } as const]),
      ],
    };
  }
  if (out.length === 0) return inVerdict(toInOrder(values), findings);
  const alike = othersOut(line, others);
  const high = out.filter(({ value, nominal = 0 }) => Math.abs(value) > Math.abs(nominal));
  const dead = out.filter(({ value, nominal = 0 }) => Math.abs(value) < 0.1 * Math.abs(nominal));
  const pointsTo: readonly MeterPoint[] =
    alike.length > 0 || isShared(line)
      ? [{ code: "rails-shared", strips: alike }]
      : high.length > 0
        ? [
            ...(isShifted(values) ? [{ code: "strip-ground" } as const] : []),
            { code: "rail-regulator" },
          ]
        : [
            { code: dead.length > 0 ? "rail-fuse" : "rail-overload" },
            { code: "supply-if-next-too" },
          ];
  return {
    verdict: "out",
    said: out.map(toOut),
    remarks: [],
    pointsTo,
    findings,
  };
}

/** Finds rails that differ although they are usually equal, if no nominal value is given. */
function findUnequal(values: MeterLine["values"]): number | undefined {
  const [a, b] = values.map(({ value }) => Math.abs(value));
  if (b === undefined) return undefined;
  const apart = Math.abs(a - b);
  if (apart <= railsApart * Math.max(a, b)) return undefined;
  return Number(apart.toPrecision(6));
}

/** Each within 5 % of its own nominal. */
const railsApart = 0.1;

/**
 * Whether a rail is within the usual range of op amp or transistor circuits (common practice, no
 * source).
 */
function isUsualRail(volts: number): boolean {
  return volts >= 9 && volts <= 50;
}

/** Whether a rail reads too high, and not because the ground has shifted. */
export function isRaisedBySupply({ values }: Pick<MeterLine, "values">): boolean {
  const isHigh = values
    .filter(outside)
    .some(({ value, nominal = 0 }) => Math.abs(value) > Math.abs(nominal));
  return isHigh && !isShifted(values);
}

/** Whether plus and minus are off by the same voltage: the ground between them has shifted. */
function isShifted(values: MeterLine["values"]): boolean {
  const shifts = values.flatMap(({ value, nominal }) =>
    nominal === undefined ? [] : [value - nominal],
  );
  const [a, b] = shifts;
  // False as well where one is missing: the comparison is then with NaN.
  return Math.abs(a - b) < 0.2 * Math.max(Math.abs(a), Math.abs(b));
}

/**
 * Whether a reading is of something that feeds several strips: a supply, or the desk as a whole.
 */
function isShared({ strip, section, sectionKind }: MeterLine): boolean {
  return strip === undefined && (section === undefined || sectionKind === "supply");
}

function directVerdict(line: MeterLine, findings: readonly MeterFinding[]): MeterVerdict {
  const { values, part } = line;
  const gain = readGainAfter(part);
  if (part !== undefined && gain !== undefined && !values.some(outside)) {
    return amplifiedVerdict({ ...line, part }, gain, findings);
  }
  const out = values.filter(outside);
  const read = { code: "direct", values, ...(part === undefined ? {} : { part }) } as const;
  if (out.length === 0) {
    const verdict = inVerdict({ ...read, isInOrder: true }, findings);
    const small = values.every(({ value }) => Math.abs(value) < smallV);
    return small ? verdict : { ...verdict, remarks: [{ code: "gain-may-follow" }] };
  }
  const large = out.some(({ value }) => Math.abs(value) >= opAmpV);
  return {
    verdict: "out",
    said: [read],
    remarks: [{ code: "inaudible-without-gain" }],
    pointsTo: large
      ? [{ code: "op-amp-failed" }, { code: "capacitor-shorted" }]
      : [{ code: "capacitor-leaks" }, { code: "op-amp-offset" }],
    findings,
  };
}

/**
 * Gain after a part, from its name: "mic input, 40 dB"; NaN if gain follows but its value is not
 * given.
 */
function readGainAfter(part: string | undefined): number | undefined {
  if (part === undefined) return undefined;
  const [, db] = /(\d+(?:[.,]\d+)?)\s*dB\b/i.exec(part) ?? [];
  if (db !== undefined) return Number(db.replace(",", "."));
  return findControl(part) === "gain" ? Number.NaN : undefined;
}

/** Judges a DC voltage before a gain stage that would do no harm without the gain. */
function amplifiedVerdict(
  { values, part }: MeterLine & { readonly part: string },
  gainDb: number,
  findings: readonly MeterFinding[],
): MeterVerdict {
  const largest = Math.max(...values.map(({ value }) => Math.abs(value)));
  const read = { code: "direct", values, part } as const;
  if (largest < smallV) return inVerdict({ ...read, isInOrder: true }, findings);
  if (Number.isNaN(gainDb)) {
    return {
      verdict: "unjudged",
      said: [{ code: "gain-not-said", values, part }],
      remarks: [{ code: "gain-may-follow" }],
      pointsTo: [],
      findings: [],
    };
  }
  const after = largest * 10 ** (gainDb / 20);
  const most = getTolerance({ strip: "", kind: "direct", value: 0, nominal: 0 });
  const becomes = { gainDb, after: Number(after.toPrecision(2)) };
  if (after <= most) {
    const verdict = inVerdict({ ...read, isInOrder: true }, findings);
    return { ...verdict, remarks: [{ code: "becomes", ...becomes }] };
  }
  return {
    verdict: "out",
    said: [{ code: "becomes-too-much", values, part, ...becomes, most }],
    remarks: [{ code: "capacitor-may-block" }],
    pointsTo: [{ code: "capacitor-leaks" }, { code: "op-amp-offset" }],
    findings: findings.map((one) => ({ ...one, tolerance: most / 10 ** (gainDb / 20) })),
  };
}

/**
 * Volts; a higher DC voltage is a failed op amp's output rather than leakage (common practice, no
 * source).
 */
const opAmpV = 1;
/** Volts; lower DC voltages do no harm even before a gain of 40 dB: they become 100 mV. */
const smallV = 0.001;

function inVerdict(said: MeterSaying, findings: readonly MeterFinding[]): MeterVerdict {
  return { verdict: "in", said: [said], remarks: [], pointsTo: [], findings };
}

function partVerdict(line: MeterLine, others: readonly Entry[]): MeterVerdict {
  const { what, values, part } = line;
  const [one] = values;
  const name = part ?? what;
  if (one.nominal === undefined) return unjudged(values, "parts");
  if (!outside(one)) return feedVerdict(line, others) ?? inVerdict(toInOrder(values), []);
  const low = one.value < one.nominal;
  const reads = low ? "low" : "high";
  const kind = what === "resistor" ? what : "capacitor";
  return {
    verdict: "out",
    said: [toOut(one)],
    remarks: [{ code: "in-place" }],
    pointsTo: [{ code: `${kind}-reads-${reads}`, name }],
    findings: [],
  };
}

/**
 * Judges a resistor within tolerance that may feed phantom power: the pair must match more closely
 * than its tolerance.
 *
 * @returns undefined for a value not used for phantom power
 */
function feedVerdict(line: MeterLine, others: readonly Entry[]): MeterVerdict | undefined {
  const [{ value, nominal }] = line.values;
  const feeds = Object.values(phantomSupplies).map(({ feedOhm }): number => feedOhm);
  if (line.what !== "resistor" || nominal === undefined || !feeds.includes(nominal)) return;
  const inside = inVerdict(toInOrder(line.values), []);
  const partner = isFeed(line)
    ? others
        .map((entry) => entry.line)
        .filter(feedsWith(line))
        .at(-1)
    : undefined;
  if (partner === undefined) {
    const code = isFeed(line) ? "measure-other-feed" : "if-it-feeds-phantom";
    return { ...inside, remarks: [{ code }] };
  }
  const [{ value: other }] = partner.values;
  const apart = (2 * Math.abs(value - other)) / (value + other);
  if (apart <= feedMatch) return inside;
  return {
    verdict: "out",
    said: [
      {
        code: "feeds-differ",
        values: line.values,
        others: partner.values,
        part: partner.part ?? "",
        share: apart,
      },
    ],
    remarks: [],
    pointsTo: [{ code: "replace-pair", parts: [line.part ?? "", partner.part ?? ""] }],
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

/** Tolerance of a reading, in its unit. */
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

function toOut(value: MeterValue): Extract<MeterSaying, { code: "out" }> {
  return { code: "out", value, tolerance: toleranceHere(value) };
}

function toInOrder(values: readonly MeterValue[]): Extract<MeterSaying, { code: "in-order" }> {
  return { code: "in-order", values, tolerance: toleranceHere(values[0]) };
}

function unjudged(values: readonly MeterValue[], of: "rails" | "parts"): MeterVerdict {
  return {
    verdict: "unjudged",
    said: [{ code: "no-nominal", values, of }],
    remarks: [],
    pointsTo: [],
    findings: [],
  };
}
