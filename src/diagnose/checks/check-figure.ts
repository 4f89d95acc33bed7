/**
 * How far a band of the equaliser moved the response, decibels; without a figure if it was not
 * measured.
 */
export interface BandMove {
  readonly band: "bass" | "middle" | "treble";
  readonly db?: number;
}

/** What a second recording showed, as data: a code and its facts. Levels are decibels. */
export type CheckFigure =
  | { readonly code: "not-measured" | "nothing-again" | "no-response" | "no-level" }
  /** The gain was turned, but no finding was of a kind that follows it. */
  | { readonly code: "neither-out" }
  /** Share that is left of a deviation, in a reading or in the response. */
  | { readonly code: "left"; readonly of: string; readonly share: number }
  /** Level and response hardly moved. */
  | { readonly code: "moved-less"; readonly thanDb: number }
  | {
      /** `gain-not-as-asked` and `level-not-as-asked`: it should have come down, and by more. */
      readonly code:
        | "gain-moved"
        | "gain-not-as-asked"
        | "level-not-as-asked"
        | "turned"
        | "noise-moved"
        | "level-moved"
        | "far-side";
      readonly db: number;
    }
  | { readonly code: "corner"; readonly beforeHz: number; readonly afterHz: number }
  | ({ readonly code: "band" } & BandMove)
  | { readonly code: "no-band-acts"; readonly bands: readonly BandMove[] };
