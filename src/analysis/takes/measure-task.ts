import type { SampleReader } from "../../capture/containers/sample-reader.js";
import { computeFingerprint } from "../../capture/fingerprint.js";
import { sliceReturn } from "../../capture/slice-return.js";
import type { RecordingInfo, SignalReturn } from "../../capture/types.js";
import { withBufferPool } from "../../dsp/buffer-pool.js";
import type { UndrivenChannel } from "../../measure/crosstalk.js";
import { findClipLevels } from "../../measure/integrity/clip-levels.js";
import { measureReturn } from "../../measure/measure.js";
import { isClipped, type PartnerAudio } from "../../measure/return-audio.js";
import type { Measurement } from "../../measure/types.js";
import type { SignalTable } from "../../signal/types.js";
import { getThreadReader } from "../../threads/thread-files.js";

/** One return to be measured: plain data, so that another thread can do it. */
export interface MeasureTask {
  readonly info: RecordingInfo;
  readonly found: SignalReturn;
  readonly table: SignalTable;
  readonly mainsHz: number;
}

/** Buffers for the samples of a return and its other side, kept between tasks of a thread. */
const rooms: Record<"first" | "partner", Float64Array> = {
  first: new Float64Array(0),
  partner: new Float64Array(0),
};
/**
 * Extra frames, since returns of a profile differ in length by their clocks; the buffer is made
 * once.
 */
const spareFrames = 4096;

function roomFor(side: keyof typeof rooms, { lengthSamples }: SignalReturn): Float64Array {
  const wanted = Math.ceil(lengthSamples) + 2;
  if (rooms[side].length < wanted) rooms[side] = new Float64Array(wanted + spareFrames);
  return rooms[side];
}

export interface MeasuredReturn {
  readonly measurement: Measurement;
  /** Doubts about the recording; each is reported once for all paths that share it. */
  readonly doubts: readonly RecordingFlag[];
  /** Identifies copies. */
  readonly fingerprint: string;
}

/**
 * `clipped`: the converter clipped somewhere; `bad-samples`: some samples were invalid;
 * `empty-side`: one side of a stereo bus is digital silence.
 */
export type RecordingFlag = "clipped" | "bad-samples" | "empty-side";

/** Measures one return of a capture file, on all the channels that recorded it. */
export async function runMeasureTask({
  info,
  found,
  table,
  mainsHz,
}: MeasureTask): Promise<MeasuredReturn> {
  const reader = await getThreadReader(info);
  const bad = reader.badSamples;
  const slice = sliceReturn(reader, found, roomFor("first", found));
  const partner = partnerAudio(reader, found, slice.samples);
  const doubts: RecordingFlag[] = [];
  const heard = { ...slice, table, mainsHz };
  const other = partner && {
    ...partner,
    ceiling: findClipLevels({ ...heard, samples: partner.samples }),
  };
  const audio = { ...heard, ceiling: findClipLevels(heard), ...(other ? { partner: other } : {}) };
  if (isClipped(audio.samples, audio) || (other && isClipped(other.samples, other))) {
    doubts.push("clipped");
  }
  if (reader.badSamples > bad) doubts.push("bad-samples");
  if (partner?.samples.every((x) => x === 0)) doubts.push("empty-side");
  const fingerprint = computeFingerprint(slice.samples);
  const measurement = withBufferPool(() => measureReturn(audio, undrivenChannels(reader, found)));
  return { measurement, doubts, fingerprint };
}

/** The other side of a stereo bus; undefined for a copy of the first, which some recorders make. */
function partnerAudio(
  reader: SampleReader,
  found: SignalReturn,
  first: Float64Array,
): PartnerAudio | undefined {
  if (found.partner === undefined) return undefined;
  const { channel } = found.partner;
  const { samples } = sliceReturn(reader, { ...found, channel }, roomFor("partner", found));
  if (samples.every((x, i) => x === first[i])) return undefined;
  return { samples, side: channel > found.channel ? "right" : "left" };
}

/** One after the other, so that a capture of many channels needs memory for only one. */
function* undrivenChannels(reader: SampleReader, found: SignalReturn): Generator<UndrivenChannel> {
  for (const channel of found.undriven ?? []) {
    const before = reader.badSamples;
    const { samples } = sliceReturn(reader, { ...found, channel });
    yield { channel, samples, ...(reader.badSamples > before ? { isBad: true } : {}) };
  }
}
