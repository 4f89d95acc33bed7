import type {
  Aspect,
  ClosingFacet,
  HarmDirection,
  OwnShare,
  RecognitionFacet,
  SharedAspect,
  SharedFacet,
} from "./reading-kind.js";

/**
 * Everything that is known about a kind of curve, as plain data. Figures without a source are
 * common practice.
 */
export interface CurveKind<Id extends string = string> {
  /** Its name in files and limits. */
  readonly id: Id;
  /** Its name within a sentence. */
  readonly name: string;
  /** The segment it is made from. */
  readonly segment: string;
  readonly aspect: Aspect;
  /**
   * How siblings are compared by it if more is worse; absent for a curve not ranked so. The
   * response is compared differently.
   */
  readonly rise?: {
    /** The name that its findings have in a round. */
    readonly finding: string;
    /** Smallest difference that matters, decibels. */
    readonly leastDb: number;
    /** Number of neighbouring points that must have the difference. */
    readonly sustained: number;
    /** Not reported if a reading of one of these aspects reports it with the same severity. */
    readonly saidBy: readonly Aspect[];
  };
  /** How a shared fault is recognised by it at some frequencies; absent if it is not. */
  readonly shared?: SharedFacet & {
    readonly points: readonly { readonly atHz: number; readonly aspect: SharedAspect }[];
  };
  /**
   * Scatter of a shared part's contribution at any point, decibels; absent if it is not subtracted.
   */
  readonly shareScatterDb?: number;
  /** How paths are distinguished by it at some frequencies; absent if they are not. */
  readonly recognition?: RecognitionFacet & { readonly atHz: readonly number[] };
  /** Largest common change with which a desk may be closed; absent if it is not judged. */
  readonly closing?: ClosingFacet;
  /** How two rounds are compared by it; absent if its frequencies vary. */
  readonly change?: {
    /** Smallest change that matters, decibels. */
    readonly leastDb: number;
    readonly harm: HarmDirection;
  };
  /** Explanation of a change for the worse common to all siblings; age when absent. */
  readonly commonChange?: "set-up";
  /** Set if a summary leaves it out because another curve covers it. */
  readonly detail?: true;
  /** Set if it can be compared only at equal signal level. */
  readonly dependsOnLevel?: true;
  /**
   * How the interface's share adds; `ratio` for the response, which is divided by the interface's;
   * absent if the interface has none.
   */
  readonly own?: OwnShare | { readonly adds: "ratio" };
}

function harmonicCurve<Order extends number>(order: Order) {
  return {
    id: `harmonic${order}`,
    name: `harmonic ${order}`,
    segment: "sweep",
    aspect: "distortion",
    change: { leastDb: 4, harm: "none" },
    detail: true,
    dependsOnLevel: true,
    own: { adds: "phase", rise: order - 1 },
  } as const;
}

const rows = [
  {
    id: "response",
    name: "response",
    segment: "sweep",
    aspect: "band",
    shared: {
      order: 30,
      scatter: 0.3,
      least: 1,
      points: [
        ...([22, 28, 56, 110] as const).map((atHz) => ({ atHz, aspect: "bass" as const })),
        ...([5000, 10_000, 16_000, 18_500] as const).map((atHz) => ({
          atHz,
          aspect: "treble" as const,
        })),
      ],
    },
    shareScatterDb: 0.15,
    recognition: { order: 60, repeat: 0.015, atHz: [20, 31.5, 63, 125, 8000, 12_500, 20_000] },
    closing: { most: 1 },
    change: { leastDb: 0.6, harm: "both" },
    own: { adds: "ratio" },
  },
  {
    id: "responseLow",
    name: "response below 20 Hz",
    segment: "sweep",
    aspect: "band",
    shareScatterDb: 0.3,
    detail: true,
    own: { adds: "ratio" },
  },
  {
    id: "distortion",
    name: "distortion",
    segment: "sweep",
    aspect: "distortion",
    // A third of an octave must rise together.
    rise: { finding: "distortionCurve", leastDb: 6, sustained: 4, saidBy: ["distortion"] },
    shareScatterDb: 1.5,
    // As for the readings of distortion.
    closing: { most: 6 },
    change: { leastDb: 4, harm: "up" },
    own: { adds: "phase", rise: 2 },
  },
  harmonicCurve(2),
  harmonicCurve(3),
  harmonicCurve(4),
  harmonicCurve(5),
  harmonicCurve(6),
  harmonicCurve(7),
  harmonicCurve(8),
  harmonicCurve(9),
  harmonicCurve(10),
  {
    id: "noise",
    name: "noise spectrum",
    segment: "silence",
    aspect: "noise",
    // Two neighbouring third octaves: a line of the mains is left to the readings of hum.
    rise: { finding: "noiseCurve", leastDb: 4, sustained: 2, saidBy: ["noise", "hum"] },
    shareScatterDb: 1,
    closing: { most: 6 },
    change: { leastDb: 3, harm: "up" },
    commonChange: "set-up",
    dependsOnLevel: true,
    own: { adds: "power", band: "third-octaves" },
  },
  {
    id: "humLines",
    name: "mains lines",
    segment: "silence",
    aspect: "hum",
    own: { adds: "phase" },
  },
  {
    id: "crosstalk",
    name: "crosstalk",
    segment: "sweep",
    aspect: "crosstalk",
    change: { leastDb: 6, harm: "up" },
  },
] as const satisfies readonly CurveKind[];

/** The ids of all curves; crosstalk onto one of several channels is `crosstalk-3`. */
export type CurveId = (typeof rows)[number]["id"];

/** Every curve there is, in the order in which they are kept. */
export const curveKinds: readonly CurveKind<CurveId>[] = rows;

/**
 * The curve that a finding of a rise is about; undefined for a finding about anything else.
 *
 * @example
 * findCurveOfFinding("noiseCurve").id; // "noise"
 */
export function findCurveOfFinding(finding: string): CurveKind<CurveId> | undefined {
  return curveKinds.find(({ rise }) => rise?.finding === finding);
}

/**
 * The row of a curve; undefined for an unknown id.
 *
 * @param id as in a round: `crosstalk-3` is a crosstalk
 * @example
 * findCurveKind("noise")?.name; // "noise spectrum"
 */
export function findCurveKind(id: string): CurveKind<CurveId> | undefined {
  const kind = id.replace(/-\d+$/, "");
  return curveKinds.find((one) => one.id === kind);
}
