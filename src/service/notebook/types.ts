import type { NoteLine } from "./schema.js";

/** Any kind of line without its head, as made by a command. */
export type NewNote = NoteLine extends infer Line
  ? Line extends NoteLine
    ? Pick<Line, Exclude<KnownKeys<Line>, "note" | "id">>
    : never
  : never;

/** The named keys, without the index signature of a loose object. */
type KnownKeys<T> = keyof {
  [K in keyof T as string extends K ? never : number extends K ? never : K]: T[K];
};

/** A note after all corrections. */
export interface Entry {
  /** Short and stable: `n12`. */
  readonly id: string;
  readonly line: Extract<
    NoteLine,
    { kind: "fault" | "meter" | "repair" | "off" | "accept" | "check" }
  >;
  /** Line of the file, from 1. */
  readonly at: number;
  /** Corrections made, oldest first. */
  readonly corrections: readonly Extract<NoteLine, { kind: "correct" }>[];
  readonly closed?: Extract<NoteLine, { kind: "close" }>;
  /** Latest count of the fixings that came off, by name; absent if never counted. */
  readonly counted?: ReadonlyMap<string, number>;
}

/** A line that is not a note: of an opening, or of the stores. */
export type LogLine = Extract<NoteLine, { kind: "opening" | "stock" }>;

/** A line that cannot be read. It stays in the file as it is. */
export interface DamagedLine {
  readonly at: number;
  readonly reason: string;
}

/** The notebook of a desk. */
export interface Notebook {
  readonly file: string;
  /** In the order of the file, without notes taken back. */
  readonly entries: readonly Entry[];
  /** Closings of findings that were never noted but were proved repaired. */
  readonly closings: readonly Extract<NoteLine, { kind: "close" }>[];
  /** Openings and stores, in the order of the file. */
  readonly log: readonly { readonly id: string; readonly line: LogLine; readonly at: number }[];
  readonly damaged: readonly DamagedLine[];
  /** The highest number given to a line. */
  readonly lastNumber: number;
}
