import { openSamples } from "../capture/containers/open-samples.js";
import type { SampleReader } from "../capture/containers/sample-reader.js";
import type { RecordingInfo } from "../capture/types.js";

/** At most this many captures stay open between the tasks of one thread. */
const mostOpen = 4;
const open = new Map<string, SampleReader>();

/** The samples of a capture, opened on first use. */
export async function getThreadReader(info: RecordingInfo): Promise<SampleReader> {
  const key = keyOf(info);
  const kept = open.get(key);
  if (kept) return kept;
  if (open.size >= mostOpen) {
    const [oldest, reader] = open.entries().next().value as [string, SampleReader];
    reader.close();
    open.delete(oldest);
  }
  const reader = await openSamples(info);
  open.set(key, reader);
  return reader;
}

/** A file alone is not the same capture as that file with its further parts. */
function keyOf(info: RecordingInfo): string {
  const parts: string[] = [];
  for (let part: RecordingInfo | undefined = info; part; part = part.continuedBy) {
    parts.push(`${part.frames} ${part.file}`);
  }
  return parts.join("\0");
}

/** Closes the files that this thread's tasks left open. */
export function closeThreadFiles(): void {
  for (const reader of open.values()) reader.close();
  open.clear();
}
