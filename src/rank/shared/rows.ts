import type { HarmDirection } from "../../measure/reading-kind.js";
import type { Curve } from "../../measure/types.js";
import type { PathToRank } from "../family-stats.js";
import type { SharedAspect } from "./types.js";

/** One figure of a path by which a shared fault is recognised. */
export interface Row {
  readonly reading: string;
  readonly unit: string;
  readonly atHz?: number;
  readonly aspect: SharedAspect;
  /** Which way it moves when something fails. */
  readonly harm: HarmDirection;
  /** Standard deviation of a healthy family beforehand, in the row's unit (common practice). */
  readonly scatter: number;
  /** A shared difference smaller than this is of no concern. */
  readonly least: number;
  /** Undefined where the path has no such figure. */
  readonly read: (path: PathToRank) => number | undefined;
  /** The figure as measured, where `read` gives it another value for what drowns it. */
  readonly readPlain?: (path: PathToRank) => number | undefined;
  /** Whether the figure only says that the truth is below it. */
  readonly isBound: (path: PathToRank) => boolean;
}

type Kind = Pick<Row, "aspect" | "harm" | "scatter" | "least">;

function ofReading(ids: readonly string[], unit: string, kind: Kind): Row {
  const find = ({ measurement }: PathToRank) => {
    const id = ids.find((one) => measurement?.readings[one] !== undefined);
    return id === undefined ? undefined : measurement?.readings[id];
  };
  return {
    ...kind,
    reading: ids[0],
    unit,
    read: (path) => find(path)?.value,
    isBound: (path) => find(path)?.bound !== undefined,
  };
}

/** Half a third of an octave to either side is averaged. */
const around = 2 ** (1 / 6);

function ofResponse(atHz: number, aspect: "bass" | "treble"): Row {
  return {
    reading: "response",
    unit: "dB",
    atHz,
    aspect,
    harm: "both",
    scatter: 0.3,
    least: 1,
    read: ({ measurement }) => measurement && meanAround(measurement.curves.response, atHz),
    isBound: () => false,
  };
}

function meanAround(curve: Curve | undefined, hz: number): number | undefined {
  let sum = 0;
  let count = 0;
  curve?.x.forEach((x, i) => {
    if (x < hz / around || x > hz * around) return;
    sum += curve.y[i];
    count++;
  });
  return count === 0 ? undefined : sum / count;
}

/**
 * Mains lines this far below the hiss are not heard, and what they scatter says nothing, decibels.
 * Odd lines are a field's, which differs with place and cable; even ones are a supply's.
 */
const unheardDb = { odd: 10, even: 18 } as const;

/** Mains lines, no lower than where the path's own hiss drowns them. */
function ofHum(ids: readonly string[], lines: "odd" | "even", kind: Kind): Row {
  const row = ofReading(ids, "dB", kind);
  return {
    ...row,
    readPlain: row.read,
    read: (path) => {
      const value = row.read(path);
      const hiss = path.measurement?.readings.hiss?.value;
      return value === undefined || hiss === undefined ? value : floorHum(value, hiss, lines);
    },
  };
}

/** The power of mains lines with that of hiss some decibels lower, decibels. */
export function floorHum(humDb: number, hissDb: number, lines: "odd" | "even"): number {
  return 10 * Math.log10(10 ** (humDb / 10) + 10 ** ((hissDb - unheardDb[lines]) / 10));
}

/** Noise scatters with devices; hum with place and cables; a hand sets a level within half a decibel. */
const noise = { aspect: "noise", harm: "up", scatter: 1, least: 3 } as const;
const humOdd = { aspect: "hum-odd", harm: "up", scatter: 4, least: 8 } as const;
const humEven = { aspect: "hum-even", harm: "up", scatter: 3, least: 8 } as const;
const distortion = { aspect: "distortion", harm: "up", scatter: 2, least: 6 } as const;
const clipping = { aspect: "clipping", harm: "up", scatter: 2, least: 6 } as const;

/**
 * The figures by which shared faults are recognised: one row for each way of seeing an aspect. Where
 * a profile lacks a reading the next of its list serves.
 */
export const rows: readonly Row[] = [
  {
    reading: "return",
    unit: "",
    aspect: "dead",
    harm: "up",
    scatter: 0.05,
    least: 0.5,
    read: ({ measurement, unheard }) =>
      unheard !== undefined ? 1 : measurement === undefined ? undefined : 0,
    isBound: () => false,
  },
  ofReading(["polarity"], "", { aspect: "polarity", harm: "both", scatter: 0.1, least: 1 }),
  ofReading(["gain"], "dB", { aspect: "level", harm: "both", scatter: 0.35, least: 1.2 }),
  ofResponse(22, "bass"),
  ofResponse(28, "bass"),
  ofResponse(56, "bass"),
  ofResponse(110, "bass"),
  ofResponse(5000, "treble"),
  ofResponse(10_000, "treble"),
  ofResponse(16_000, "treble"),
  ofResponse(18_500, "treble"),
  ofReading(["hiss", "noiseA"], "dB", noise),
  ofHum(["humOdd", "hum"], "odd", humOdd),
  ofHum(["humEven"], "even", humEven),
  ofReading(["thd"], "dB", distortion),
  ofReading(["thd100"], "dB", distortion),
  ofReading(["imd"], "dB", distortion),
  ofReading(["thdHot"], "dB", clipping),
  ofReading(["headroom"], "dB", { aspect: "clipping", harm: "down", scatter: 0.5, least: 1.5 }),
  ofReading(["compression"], "dB", { aspect: "clipping", harm: "down", scatter: 0.15, least: 0.6 }),
];
