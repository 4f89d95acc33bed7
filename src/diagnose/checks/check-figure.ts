/** How far a band of the equaliser moved the response, decibels; without a figure where none was measured. */
export interface BandMove {
  readonly band: "bass" | "middle" | "treble";
  readonly db?: number;
}

/** What a second play showed, as data: a code and its facts. Levels are decibels. */
export type CheckFigure =
  | { readonly code: "not-measured" | "nothing-again" | "no-response" | "no-level" }
  /** The gain was turned, and nothing stood out that would follow it. */
  | { readonly code: "neither-out" }
  /** Share of an oddity that is left: of a reading, or of the response. */
  | { readonly code: "left"; readonly of: string; readonly share: number }
  /** Level and response hardly moved. */
  | { readonly code: "moved-less"; readonly thanDb: number }
  | {
      /** `gain-not-as-asked` and `level-not-as-asked`: it was to come down, and by more. */
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
