import { computePowerReading } from "../above-noise.js";
import { type Absent, isAbsent } from "../absence.js";
import type { ReadingFacets, ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import type { TwoToneAnalysis, TwoToneLine } from "../two-tone.js";
import type { Reading } from "../types.js";

/** Share of each line's amplitude in a figure, by order. */
interface Lines {
  readonly amplitudes: readonly number[];
  readonly variances: readonly number[];
}

function secondOrder({ second }: TwoToneAnalysis): Lines {
  return scaled(second, 1);
}

/**
 * The sum of both third-order lines. They are equal in a path without memory, so one is used for
 * both if the upper one is beyond the sample rate.
 */
function thirdOrder({ third }: TwoToneAnalysis): Lines {
  const one = third.length === 1 ? scaled(third, 2) : undefined;
  if (one) return one;
  // a sum of amplitudes: the noise under each is subtracted before they are added
  const clear = third.map(({ amplitude, variance }) =>
    Math.sqrt(Math.max(0, amplitude ** 2 - 2 * variance)),
  );
  const variance = third.reduce((sum, line) => sum + line.variance, 0);
  const amplitude = clear.reduce((sum, a) => sum + a, 0);
  return { amplitudes: [Math.hypot(amplitude, Math.sqrt(2 * variance))], variances: [variance] };
}

function scaled(lines: readonly TwoToneLine[], factor: number): Lines {
  return {
    amplitudes: lines.map(({ amplitude }) => factor * amplitude),
    variances: lines.map(({ variance }) => factor ** 2 * variance),
  };
}

function differenceKind<Id extends string>(
  facets: Omit<
    ReadingFacets<Id>,
    "unit" | "segment" | "aspect" | "least" | "levelDependence" | "share"
  >,
  lines: (answer: TwoToneAnalysis) => readonly Lines[],
): ReadingKind<Id> {
  return {
    unit: "dB",
    segment: "twin",
    aspect: "distortion",
    least: 4,
    levelDependence: "distortion",
    share: "power",
    ...facets,
    read(context: ReturnContext): Reading | Absent {
      const answer = context.twin();
      if (isAbsent(answer)) return answer;
      const parts = lines(answer);
      return computePowerReading(
        parts.flatMap(({ amplitudes }) => amplitudes),
        parts.flatMap(({ variances }) => variances),
        answer.low.amplitude + answer.high.amplitude,
      );
    },
  };
}

/**
 * Difference-frequency distortion of both orders together, root of the sum of squares: the figure
 * by which siblings are compared (common practice; the standard states each order on its own).
 */
export const imd = differenceKind(
  {
    id: "imd",
    name: "difference-frequency distortion",
    definition: "second- and third-order products of 19 and 20 kHz together",
    source: "after IEC 60268-3",
    harm: "up",
    batch: { group: "thd" },
    evidence: { group: "imd", order: 140 },
    shared: { order: 90, group: "imd", aspect: "distortion", harm: "up", scatter: 2, least: 6 },
    underHum: [-8, 15],
    own: { adds: "phase", rise: 2 },
  },
  (answer) => [secondOrder(answer), thirdOrder(answer)],
);

/** Second order, U(f2−f1) relative to the arithmetic sum of both tones (IEC 60268-3). */
export const imd2 = differenceKind(
  {
    id: "imd2",
    name: "second-order difference tone",
    definition: "the tone at 1 kHz that 19 and 20 kHz make",
    source: "IEC 60268-3",
    harm: "none",
    detail: true,
    own: { adds: "phase", rise: 1 },
  },
  (answer) => [secondOrder(answer)],
);

/**
 * Third order, U(2f1−f2) + U(2f2−f1) relative to the arithmetic sum of both tones (IEC 60268-3).
 */
export const imd3 = differenceKind(
  {
    id: "imd3",
    name: "third-order difference tones",
    definition: "the tones at 18 and 21 kHz that they make",
    source: "IEC 60268-3",
    harm: "none",
    detail: true,
    own: { adds: "phase", rise: 2 },
  },
  (answer) => [thirdOrder(answer)],
);
