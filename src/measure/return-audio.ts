import type { Segment, SignalTable } from "../signal/types.js";

/** One path's return, ready to be measured. */
export interface ReturnAudio {
  /** Full scale ±1. */
  readonly samples: Float64Array;
  /** Index at which the signal's first sample falls, fractional. */
  readonly origin: number;
  /** Capture samples per second of the playing clock. */
  readonly clock: number;
  /** Nominal samples per second of the capture. */
  readonly sampleRate: number;
  readonly table: SignalTable;
  readonly mainsHz: number;
  /** Where its converter clips; full scale when absent. */
  readonly ceiling?: ClipLevels;
  /** The other side of a bus that was recorded in stereo, sample for sample at the same time. */
  readonly partner?: PartnerAudio;
}

/** The second side of a stereo bus, as long as the first. */
export interface PartnerAudio {
  readonly samples: Float64Array;
  readonly side: "left" | "right";
  readonly ceiling?: ClipLevels;
}

/** Samples from `high` up and from `low` down are clipped by the converter, not by the path. */
export interface ClipLevels {
  readonly high: number;
  readonly low: number;
}

/** Part of a return, with the signal's time of its first sample. */
export interface SegmentSlice {
  readonly samples: Float64Array;
  /** Seconds of the playing clock from the segment's start to the first sample. */
  readonly startS: number;
}

/**
 * The segment of a name; undefined if the profile has none.
 *
 * @example
 * findSegment(audio.table, "tone", "tone-1k").frequencyHz; // 1000
 * findSegment(audio.table, "twin"); // undefined
 */
export function findSegment<K extends Segment["kind"]>(
  table: SignalTable,
  kind: K,
  name?: string,
): Extract<Segment, { kind: K }> | undefined {
  return table.segments.find(
    (s): s is Extract<Segment, { kind: K }> =>
      s.kind === kind && (name === undefined || s.name === name),
  );
}

/**
 * Indices of a return's samples from the first part played to the last.
 *
 * @example
 * const { first, end } = computePlayedSpan(audio);
 * // From the first marker, 0.1 s in, to the end of the last, 5.55 s in.
 * Math.round((end - first) / audio.clock / 0.01); // 545
 */
export function computePlayedSpan({ samples, origin, clock, table }: ReturnAudio): {
  readonly first: number;
  readonly end: number;
} {
  const { segments } = table;
  const last = segments[segments.length - 1];
  const first = Math.floor(origin + segments[0].startS * clock);
  const end = Math.ceil(origin + (last.startS + last.lengthS) * clock);
  return { first: Math.max(0, first), end: Math.min(samples.length, end) };
}

/**
 * Cuts a part out of a return.
 *
 * @param audio the return
 * @param segmentStartS where the segment starts in the signal, seconds
 * @param fromS first second wanted, from the segment's start
 * @param toS last second wanted
 * @returns undefined if the capture does not have all of it
 * @example
 * // A tenth of a second of the tone, which begins 3.9 s into the signal.
 * const { samples } = sliceSegment(audio, 3.9, 0.1, 0.2);
 * Math.abs(samples.length - 4410) <= 1; // true
 * sliceSegment(audio, 60, 0, 1); // undefined
 */
export function sliceSegment(
  audio: ReturnAudio,
  segmentStartS: number,
  fromS: number,
  toS: number,
): SegmentSlice | undefined {
  const zero = audio.origin + segmentStartS * audio.clock;
  const first = Math.ceil(zero + fromS * audio.clock);
  const last = Math.floor(zero + toS * audio.clock);
  if (first < 0 || last > audio.samples.length || last <= first) return undefined;
  return { samples: audio.samples.subarray(first, last), startS: (first - zero) / audio.clock };
}

/** Samples this close to full scale are clipped by the converter, not by the path. */
const fullScale = 0.9999;
export const fullScaleClipLevels: ClipLevels = { high: fullScale, low: -fullScale };

/**
 * Whether a sample is where the converter clips.
 *
 * @example
 * isAtClipLevel(0.9, { ceiling: { high: 0.8, low: -0.8 } }); // true
 * isAtClipLevel(0.5, {}); // false
 */
export function isAtClipLevel(
  sample: number,
  { ceiling = fullScaleClipLevels }: WithCeiling,
): boolean {
  return sample >= ceiling.high || sample <= ceiling.low;
}

interface WithCeiling {
  readonly ceiling?: ClipLevels | undefined;
}

/**
 * Whether the converter clipped: two neighbouring samples at its limit.
 *
 * @param audio the return that the samples come from
 * @example
 * isClipped(Float64Array.of(0.2, 1, 1, 0.2), {}); // true
 * // One sample at full scale may be a peak.
 * isClipped(Float64Array.of(0.2, 1, 0.2, 0.1), {}); // false
 */
export function isClipped(samples: Float64Array, audio: WithCeiling): boolean {
  const { high, low } = audio.ceiling ?? fullScaleClipLevels;
  const last = samples.length - 1;
  // Of two neighbours one has an odd index.
  for (let i = 1; i <= last; i += 2) {
    if (samples[i] < high && samples[i] > low) continue;
    const before = samples[i - 1];
    if (before >= high || before <= low) return true;
    if (i < last && (samples[i + 1] >= high || samples[i + 1] <= low)) return true;
  }
  return false;
}
