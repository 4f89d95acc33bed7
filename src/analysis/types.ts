import type { Assignment, SignalSpan } from "../capture/types.js";

/** Progress of a long task. */
export interface Progress {
  /** What is being done, in a word or two for people: "finding returns", "measuring". */
  readonly stage: string;
  readonly done: number;
  readonly total: number;
}

export type OnProgress = (progress: Progress) => void;

/** Called with the path that each return is assigned to. */
export type OnAssigned = (assignments: readonly Assignment<SignalSpan>[]) => void;
