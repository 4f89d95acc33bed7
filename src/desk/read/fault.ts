/** Where in the file, as its keys and list positions from the outermost in. */
export type Place = readonly PropertyKey[];

/** Something wrong in the file. */
export interface DeskFileIssue {
  readonly place: Place;
  /** Whether the key or what it holds is at fault. */
  readonly at: "key" | "value";
  readonly message: string;
  readonly hint?: string | undefined;
}
