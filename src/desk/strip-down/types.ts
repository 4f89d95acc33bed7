/** A count of something that is screwed, soldered or counted: 4 × M3x8. */
export interface CountedPart {
  readonly count: number;
  readonly what: string;
}

/** How something comes off, in the owner's words. */
export interface TakeOff {
  readonly steps: readonly string[];
  /** Screws, nuts and washers, with their sizes. */
  readonly fixings: readonly CountedPart[];
  readonly tools: readonly string[];
  /** Minutes off and on again; absent where the book does not say. */
  readonly minutes?: number;
  readonly weightKg?: number;
  /** Hands that it takes. */
  readonly people: number;
  /** Names of pictures in the desk's folder. */
  readonly photos: readonly string[];
}

/** A board, or whatever else comes out of a strip as one piece. */
export interface StripDownBoard extends TakeOff {
  readonly name: string;
  /** Strips that have one. */
  readonly strips: readonly string[];
  /** Sections that have one, as the desk names them: `group 3`, `master`. */
  readonly sections: readonly string[];
  /** Stages of the desk's flow that sit on it. */
  readonly stages: readonly string[];
  /** Controls of the strip that sit on it. */
  readonly controls: readonly string[];
  /** Boards, or parts of the construction, that must come off before it. */
  readonly after: readonly string[];
  readonly knobs: readonly string[];
  readonly connectors: readonly string[];
  readonly ties: readonly string[];
  /** What it is run on outside the desk. */
  readonly extender?: string;
  /** Its electrolytics, by value. */
  readonly capacitors: readonly CountedPart[];
}

/** The desk's own strip-down book. */
export interface StripDownBook {
  readonly file: string;
  /** How the desk is opened; absent where the book does not say. */
  readonly open?: TakeOff;
  readonly boards: readonly StripDownBoard[];
}
