import { sliceReturn } from "../capture/slice.js";
import type { Return, WavInfo } from "../capture/types.js";
import { openSamples, type SampleReader } from "../capture/wav.js";
import { measureReturn } from "../measure/measure.js";
import { isClipped } from "../measure/return-audio.js";
import type { Measurement } from "../measure/types.js";
import type { SignalTable } from "../signal/table.js";

/** One return to be measured: plain data, so that another thread can do it. */
export interface MeasureTask {
  readonly info: WavInfo;
  readonly found: Return;
  readonly table: SignalTable;
  readonly mainsHz: number;
}

/** Files stay open between the tasks of one thread, only as many as are worth it. */
const mostOpen = 4;
const open = new Map<string, SampleReader>();

export interface MeasuredReturn {
  readonly measurement: Measurement;
  /** Doubts about the recording, each said once for all paths that share it. */
  readonly doubts: readonly Doubt[];
}

/** `clipped`: the converter clipped somewhere; `bad-samples`: some samples were no numbers. */
export type Doubt = "clipped" | "bad-samples";

/** Measures one return of a capture file. */
export function runMeasureTask({ info, found, table, mainsHz }: MeasureTask): MeasuredReturn {
  const reader = readerOf(info);
  const bad = reader.badSamples;
  const slice = sliceReturn(reader, found);
  const doubts: Doubt[] = [];
  if (isClipped(slice.samples)) doubts.push("clipped");
  if (reader.badSamples > bad) doubts.push("bad-samples");
  return { measurement: measureReturn({ ...slice, table, mainsHz }), doubts };
}

/** Closes the files that tasks left open. */
export function closeMeasureFiles(): void {
  for (const reader of open.values()) reader.close();
  open.clear();
}

function readerOf(info: WavInfo): SampleReader {
  const kept = open.get(info.file);
  if (kept) return kept;
  if (open.size >= mostOpen) {
    const [oldest, reader] = open.entries().next().value as [string, SampleReader];
    reader.close();
    open.delete(oldest);
  }
  const reader = openSamples(info);
  open.set(info.file, reader);
  return reader;
}
