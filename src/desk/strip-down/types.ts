/** A number of identical parts: 4 × M3x8. */
export interface CountedPart {
  readonly count: number;
  readonly what: string;
}

/** How something is removed, in the owner's words. */
export interface TakeOff {
  readonly steps: readonly string[];
  /** Screws, nuts and washers, with their sizes. */
  readonly fixings: readonly CountedPart[];
  readonly tools: readonly string[];
  /** Minutes to remove and refit; absent if the book does not say. */
  readonly minutes?: number;
  readonly weightKg?: number;
  /** Number of people needed. */
  readonly people: number;
  /** Names of pictures in the desk's folder. */
  readonly photos: readonly string[];
}

/** A board, or another unit that comes out of a strip in one piece. */
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
  /** What it is operated on outside the desk. */
  readonly extender?: string;
  /** Its electrolytics, by value. */
  readonly capacitors: readonly CountedPart[];
}

/** The desk's own strip-down book. */
export interface StripDownBook {
  readonly file: string;
  /** How the desk is opened; absent if the book does not say. */
  readonly open?: TakeOff;
  readonly boards: readonly StripDownBoard[];
}
