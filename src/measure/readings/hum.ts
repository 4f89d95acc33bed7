import { dbPerNeper, powerToDb } from "../../dsp/decibels.js";
import type { HarmonicLines } from "../../dsp/harmonic-lines.js";
import { computePowerReading, computeUpperPower } from "../above-noise.js";
import { type Absent, isAbsent } from "../absence.js";
import type { ReadingFacets, ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import { mainsLines, mainsWithinHz } from "../silence-analysis.js";
import type { Curve, Reading } from "../types.js";

/**
 * The noise under a line is known from only a few bins: 95 % is slightly more than two standard
 * deviations.
 */
const coverage = 2.08;

/** Mains frequency as the capture's clock counts it. */
export const mains: ReadingKind<"mains"> = {
  id: "mains",
  name: "mains frequency",
  unit: "Hz",
  definition: "as found in the hum, by the recorder's clock",
  source: "common practice",
  segment: "silence",
  aspect: "hum",
  harm: "none",
  least: 0,
  leastChange: 0.2,
  detail: true,
  read(context) {
    const quiet = context.quiet();
    if (isAbsent(quiet)) return quiet;
    if (!quiet.lines) return noLine(context);
    const { frequencyHz, deviationHz } = quiet.lines;
    return { value: frequencyHz, unit: "Hz", uncertainty: coverage * deviationHz };
  },
};

function noLine({ audio }: ReturnContext): Absent {
  return {
    absent: { code: "no-mains-line", mainsHz: audio.mainsHz, withinHz: mainsWithinHz },
  };
}

/** Sum of the mains lines of some orders. */
function humKind<Id extends string>(
  facets: Pick<
    ReadingFacets<Id>,
    | "id"
    | "name"
    | "definition"
    | "role"
    | "harm"
    | "harmBeside"
    | "evidence"
    | "shared"
    | "closing"
    | "ageing"
    | "listedForInterface"
    | "own"
    | "sumTolerance"
  >,
  counts: (order: number) => boolean,
): ReadingKind<Id> {
  const orders = Array.from({ length: mainsLines }, (_, k) => k + 1).filter(counts);
  return {
    unit: "dBFS",
    source: "common practice",
    segment: "silence",
    aspect: "hum",
    least: 4,
    // Depends on the position of cables and the distance to transformers (common practice, a
    // guess).
    priorScatter: 4,
    levelDependence: "noise",
    share: "power",
    commonChange: "set-up",
    own: { adds: "phase", lines: "humLines" },
    ...facets,
    read(context) {
      const quiet = context.quiet();
      if (isAbsent(quiet)) return quiet;
      if (quiet.lines) return sumOf(quiet.lines, orders);
      return bound(quiet.hidden?.(counts) ?? 0);
    },
  };
}

function sumOf(lines: HarmonicLines, orders: readonly number[]): Reading {
  const amplitudes = orders.map((n) => lines.amplitudes[n - 1]);
  const variances = orders.map((n) => lines.variances[n - 1]);
  // Peak amplitudes relative to a full-scale sine, whose amplitude is 1.
  const sum = { ...computePowerReading(amplitudes, variances, 1), unit: "dBFS" };
  if (sum.limitedBy === "noise") return { ...sum, ...boundByNoise };
  let power = 0;
  let spread = 0;
  amplitudes.forEach((a, i) => {
    const v = variances[i];
    const own = a * a - 2 * v;
    power += own;
    spread += 4 * Math.max(0, own) * v + 4 * v * v;
  });
  const stdDev = Math.sqrt(spread);
  if (power < clear * stdDev) {
    const noise = variances.reduce((all, v) => all + 4 * v * v, 0);
    const upper = computeUpperPower(power, Math.max(...variances), noise);
    return { ...sum, value: powerToDb(upper), ...boundByNoise };
  }
  const uncertainty = (coverage * (dbPerNeper / 2) * stdDev) / power;
  return { ...sum, uncertainty: Math.hypot(methodDb, uncertainty) };
}

/** What tables and rounding add, decibels at 95 %. */
const methodDb = 5e-4;
/** An estimate closer to the noise than this may be there by chance. */
const clear = 4.5;
const boundByNoise = { uncertainty: 6, limitedBy: "noise", bound: "upper" } as const;

/** Bound if no line was found: the most that hidden lines of these orders may have. */
function bound(hidden: number): Reading {
  return { value: powerToDb(hidden), unit: "dBFS", ...boundByNoise };
}

/**
 * Odd lines come from fields, which vary with place and cable; so does their sum with even ones.
 */
const sharedOdd = {
  group: "humOdd",
  aspect: "hum-odd",
  harm: "up",
  scatter: 4,
  least: 8,
} as const;

/** Hum: all mains lines together, 1 to 40. */
export const hum = humKind(
  {
    id: "hum",
    name: "hum",
    definition: "sum of the first 40 multiples of the mains frequency in the silence",
    role: "hum",
    harm: "up",
    evidence: { group: "humOdd", order: 51 },
    shared: { order: 51, ...sharedOdd },
    // Compared above the level where the path's hiss hides it (`floorHum`): below, it depends on
    // the position of cables. 6 dB doubles the voltage (common practice, no source).
    closing: { most: 6 },
    // Hum depends on cables: common practice.
    sumTolerance: 6,
    ageing: { order: 60, scale: "against-tone", wants: "supply capacitors" },
    listedForInterface: true,
  },
  () => true,
);

/** Odd lines: fields of transformers, ground loops, open shields (common practice). */
export const humOdd = humKind(
  {
    id: "humOdd",
    name: "hum, odd lines",
    definition: "the odd ones of these lines",
    role: "odd-hum",
    harm: "none",
    evidence: { group: "humOdd", order: 50 },
    shared: { order: 50, ...sharedOdd },
    own: { adds: "phase", lines: "humLines", orders: "odd" },
  },
  (n) => n % 2 === 1,
);

/** Even lines: rectifier ripple (common practice). */
export const humEven = humKind(
  {
    id: "humEven",
    name: "hum, even lines",
    definition: "the even ones of these lines",
    role: "even-hum",
    harm: "none",
    // Comes from a supply; in the sum, odd lines of fields and cables hide it.
    harmBeside: "up",
    evidence: { group: "humEven", order: 60 },
    shared: {
      order: 60,
      group: "humEven",
      aspect: "hum-even",
      harm: "up",
      scatter: 3,
      least: 8,
    },
    own: { adds: "phase", lines: "humLines", orders: "even" },
  },
  (n) => n % 2 === 0,
);

/**
 * Each mains line's level at its nominal frequency; `floor` is what noise alone would give. A line
 * that is not clear of it is given as an upper bound, with an uncertainty of 6 dB.
 *
 * @returns the curve, or why there is none
 * @example
 * const context = createReturnContext(audio);
 *
 * // The recording has no hum.
 * computeHumLines(context).absent.code; // "no-mains-line"
 */
export function computeHumLines(context: ReturnContext): Curve | Absent {
  const quiet = context.quiet();
  if (isAbsent(quiet)) return quiet;
  const { lines } = quiet;
  if (!lines) return noLine(context);
  const x: number[] = [];
  const y: number[] = [];
  const uncertainty: number[] = [];
  const floor: number[] = [];
  for (let n = 1; n <= mainsLines; n++) {
    const line = sumOf(lines, [n]);
    x.push(n * context.audio.mainsHz);
    y.push(line.value);
    uncertainty.push(line.uncertainty);
    floor.push(powerToDb(2 * lines.variances[n - 1]));
  }
  return { x, y, uncertainty, xUnit: "Hz", yUnit: "dBFS", floor };
}
