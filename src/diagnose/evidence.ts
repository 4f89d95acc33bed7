import type { Unheard } from "../not-measured.js";
import type { CheckOutcome } from "./checks/check-kinds.js";
import type { MeterFinding } from "./meter-tolerance.js";

/** Level breaks in one part of the signal. */
export interface SegmentBreaks {
  readonly segment: string;
  readonly count: number;
  readonly deepestDb: number;
  readonly longestS: number;
}

/** Kind of a loud sound in place of a return, by its crest factor and its share at full scale. */
export type LoudKind = "stuck" | "driven" | "tone" | "programme";

/**
 * Evidence for or against a cause, as data: a code and its facts. `report/evidence` has the words.
 * Levels are decibels.
 */
export type Evidence =
  // For a path without a return.
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
  // For a measured path.
  | { readonly code: "fits-no-cause" }
  | {
      /**
       * `unmoved`: the cause would change it, but it matches the siblings'; `unexplained`: the
       * cause does not change it; `otherwise`: the cause would change it differently.
       */
      readonly code: "reading-unmoved" | "reading-unexplained" | "reading-otherwise";
      readonly reading: string;
      readonly deviation: number;
      readonly unit: string;
    }
  | { readonly code: "response-beyond"; readonly byDb: number; readonly atHz: number }
  | {
      readonly code: "capacitance-left";
      /** Share of the siblings' capacitance that is left, and its range. */
      readonly share: number;
      readonly from: number;
      readonly until: number;
      /** The siblings' corner. */
      readonly usualHz: number;
      readonly lost20HzDb: number;
      /** The share at which the loss becomes audible; absent if it is audible already. */
      readonly heardFrom?: number;
    }
  /**
   * Capacitors with a lower corner of their own may be just as dried out without the round showing
   * it.
   */
  | { readonly code: "capacitors-unseen"; readonly belowHz: number }
  | { readonly code: "level-breaks"; readonly segments: readonly SegmentBreaks[] }
  | {
      readonly code: "stray-tone";
      readonly hz: number;
      readonly level: number;
      readonly unit: string;
    }
  | {
      /** Two paths of a strip each measure like the other's input. */
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
      /** Paths through the same output or bus show the same. */
      readonly code: "same-way";
      readonly part: string;
      readonly paths: readonly string[];
      /** Number of paths through it. */
      readonly of: number;
    }
  | {
      /** Evidence of a cause's own kind: its words are in its file, as `says`. */
      readonly code: "of-cause";
      readonly cause: string;
      readonly seen: string;
      readonly figures: EvidenceFigures;
    }
  // For what was tried or measured since.
  | {
      readonly code: "metered";
      readonly what: MeterFinding["kind"];
      readonly volts: number;
      readonly isInOrder?: true;
    }
  | {
      /** Whether it is enough for the cause by itself. */
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
      /** The note, or another source. */
      readonly source: string;
    };

/** A line of evidence: data, or words kept in a round. */
export type EvidenceLine = Evidence | string;

type Figure = number | string;

/** Figures of a line of a cause's own evidence: plain data, by name. */
export type EvidenceFigures = Readonly<
  Record<string, Figure | readonly Readonly<Record<string, Figure>>[]>
>;

/** Wording of a cause's own evidence, by what was seen. */
export type EvidenceWords = Readonly<Record<string, (figures: never) => string>>;

/**
 * Builds a function that creates a cause's own evidence; the compiler accepts only kinds that have
 * words, with the figures that these need. The result has no words yet: `report/evidence` finds
 * them by the cause.
 *
 * @param cause its id
 * @param says the words, which its `CauseKind` also has
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
