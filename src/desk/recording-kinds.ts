/**
 * The kinds of file that recordings come in, in the order in which messages name them. Each has a
 * row in `capture/containers/registry.ts`.
 */
export const recordingKinds = [
  { name: "WAV", endings: ["wav", "wave", "bwf", "rf64", "bw64"] },
  { name: "FLAC", endings: ["flac"] },
  { name: "AIFF", endings: ["aiff", "aif", "aifc"] },
] as const;

export type RecordingKind = (typeof recordingKinds)[number]["name"];

/** Endings of recordings' names; they do not prove what is in the file. */
export const recordingExtension = new RegExp(
  `\\.(${recordingKinds.flatMap(({ endings }) => endings).join("|")})$`,
  "i",
);

/** Whether a file has a recording's ending. */
export function isRecordingName(name: string): boolean {
  return recordingExtension.test(name);
}

/** "WAV, FLAC or AIFF" */
export function formatRecordingKinds(): string {
  const names = recordingKinds.map(({ name }) => name);
  return `${names.slice(0, -1).join(", ")} or ${names.at(-1)}`;
}
