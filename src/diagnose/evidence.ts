import type { Unheard } from "../not-measured.js";
import type { CheckOutcome } from "./checks/check-kinds.js";
import type { MeterFinding } from "./meter-tolerance.js";

/** Steps of the level in one part of the signal. */
export interface SegmentBreaks {
  readonly segment: string;
  readonly count: number;
  readonly deepestDb: number;
  readonly longestS: number;
}

/** What loud sound in place of a return is, by its peaks and how often it is at full scale. */
export type LoudKind = "stuck" | "driven" | "tone" | "programme";

/**
 * What speaks for a cause or against it, as data: a code and its facts. `report/evidence` has the
 * words, once. Levels are decibels.
 */
export type Evidence =
  // Of a path that gave nothing back.
  | { readonly code: "no-return"; readonly heard: Unheard }
  | { readonly code: "side-silent"; readonly heard: Unheard }
  | { readonly code: "other-side-through" }
  | { readonly code: "louder-than-noise"; readonly levelDbfs: number }
  | {
      readonly code: "loud-sound";
      readonly sound: LoudKind;
      /** Share of its samples at full scale. */
      readonly clippedShare: number;
    }
  | { readonly code: "noise-as-siblings" }
  | { readonly code: "noise-below-siblings"; readonly byDb: number }
  | { readonly code: "noise-above-siblings"; readonly byDb: number }
  // Of one that was measured.
  | { readonly code: "fits-no-cause" }
  | {
      /**
       * `unmoved`: the cause would move it, and it is where the siblings have it; `unexplained`: the
       * cause leaves it alone; `otherwise`: it would move it to elsewhere.
       */
      readonly code: "reading-unmoved" | "reading-unexplained" | "reading-otherwise";
      readonly reading: string;
      readonly deviation: number;
      readonly unit: string;
    }
  | { readonly code: "response-beyond"; readonly byDb: number; readonly atHz: number }
  | {
      readonly code: "capacitance-left";
      /** Share of its siblings' that is left, and the range that holds it. */
      readonly share: number;
      readonly from: number;
      readonly until: number;
      /** The siblings' corner. */
      readonly usualHz: number;
      readonly lost20HzDb: number;
      /** The share from which on it is heard; absent where it is already. */
      readonly heardFrom?: number;
    }
  /** Capacitors whose own corner is lower may be as dry, and a round does not see them. */
  | { readonly code: "capacitors-unseen"; readonly belowHz: number }
  | { readonly code: "level-breaks"; readonly segments: readonly SegmentBreaks[] }
  | {
      readonly code: "stray-tone";
      readonly hz: number;
      readonly level: number;
      readonly unit: string;
    }
  | {
      /** Two paths of a strip measure as the other's input does. */
      readonly code: "measure-as-each-other";
      readonly paths: readonly [string, string];
      readonly inputs: readonly [string, string];
    }
  | {
      /** No other path of its family was fed by the same output. */
      readonly code: "fed-alone";
      readonly part: string;
    }
  | {
      /** Paths that went through the same output or bus show the same. */
      readonly code: "same-way";
      readonly part: string;
      readonly paths: readonly string[];
      /** How many paths went through it. */
      readonly of: number;
    }
  | {
      /** Of the cause's own: its words stand in its file, as `says`. */
      readonly code: "of-cause";
      readonly cause: string;
      readonly seen: string;
      readonly figures: EvidenceFigures;
    }
  // What was tried or measured since.
  | {
      readonly code: "metered";
      readonly what: MeterFinding["kind"];
      readonly volts: number;
      readonly isInOrder?: true;
    }
  | {
      /** Alone reason enough for the cause. */
      readonly code: "metered-out";
      readonly what: MeterFinding["kind"];
      readonly volts: number;
      readonly nominal: number;
      readonly tolerance: number;
    }
  | {
      readonly code: "checked";
      readonly check: string;
      readonly outcome: CheckOutcome;
      /** The note, or what else says so. */
      readonly source: string;
    };

/** A line of evidence: data, or the words of it that a round keeps. */
export type EvidenceLine = Evidence | string;

type Figure = number | string;

/** What goes with a line of a cause's own evidence: plain data, by name. */
export type EvidenceFigures = Readonly<
  Record<string, Figure | readonly Readonly<Record<string, Figure>>[]>
>;

/** The words of a cause's own evidence, by what was seen. */
export type EvidenceWords = Readonly<Record<string, (figures: never) => string>>;

/**
 * What a cause's file makes its own evidence with: the compiler takes only what has words, with the
 * figures that these need. Nothing is worded yet; `report/evidence` finds the words by the cause.
 *
 * @param cause its id
 * @param says the words, which its `CauseKind` has as well
 * @example
 * const seen = createEvidence("a-cause", { hums: ({ db }) => `hum ${db} dB` });
 * seen("hums", { db: 12 }); // { code: "of-cause", cause: "a-cause", seen: "hums", figures: { db: 12 } }
 */
export function createEvidence<W extends EvidenceWords>(cause: string, _says: W) {
  return <S extends keyof W & string>(seen: S, ...given: Parameters<W[S]>): Evidence => {
    const [figures = {}]: readonly EvidenceFigures[] = given;
    return { code: "of-cause", cause, seen, figures };
  };
}
