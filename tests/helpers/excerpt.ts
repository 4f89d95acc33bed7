import type { ReturnAudio } from "../../src/measure/return-audio.js";
import type { Segment, SignalTable } from "../../src/signal/types.js";
import { addNoise, addReturn } from "./captures.js";

/** A signal of only the named segments of another, one after the other: quick to measure. */
export function excerpt(table: SignalTable, names: readonly string[]): SignalTable {
  const segments: Segment[] = [];
  let atS = 0.1;
  for (const segment of table.segments) {
    if (!names.includes(segment.name)) continue;
    segments.push({ ...segment, startS: atS });
    atS += segment.lengthS + 0.05;
  }
  return { ...table, segments, lengthS: atS };
}

/** What becomes of each sample of a signal on its way through a path without memory. */
export type Path = (x: number) => number;

/**
 * A return of a path without memory, in white noise.
 *
 * @param noiseRms 0 for none
 */
export function returnThrough(
  table: SignalTable,
  rate: number,
  path: Path,
  noiseRms = 0,
  seed = 1,
): ReturnAudio {
  const samples = new Float64Array(Math.round((table.lengthS + 0.1) * rate));
  const origin = 1000.3;
  addReturn(samples, table, rate, origin);
  for (let n = 0; n < samples.length; n++) samples[n] = path(samples[n]);
  if (noiseRms > 0) addNoise(samples, noiseRms, seed);
  return { samples, origin, clock: rate, sampleRate: rate, table, mainsHz: 50 };
}
