/** A position in the file: keys and list indices, outermost first. */
export type Place = readonly PropertyKey[];

/** Something wrong in the file. */
export interface DeskFileIssue {
  readonly place: Place;
  /** Whether the key or its value is wrong. */
  readonly at: "key" | "value";
  readonly message: string;
  readonly hint?: string | undefined;
}
