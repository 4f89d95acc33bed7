import type { RecordingInfo } from "../types.js";
import { openFile, shrunkError } from "./open-file.js";
import type { SampleReader } from "./sample-reader.js";

/** What is known about a file of uncompressed samples. */
export interface PcmInfo extends RecordingInfo {
  /** Little-endian when absent. */
  readonly layout?: PcmLayout;
}

export interface PcmLayout {
  readonly byteOrder: "big" | "little";
}

/**
 * Decodes `count` samples that lie `stride` bytes apart.
 *
 * @param view raw bytes
 * @param offset byte of the first sample
 * @param out filled from index `at`
 * @returns number of invalid samples
 */
type Decoder = (
  view: DataView,
  offset: number,
  stride: number,
  count: number,
  out: Float64Array,
  at: number,
) => number;

const leastBlockFrames = 65_536;
const leastBlockBytes = 1 << 20;
/** Bytes kept free around the block, so that a 24-bit sample can be fetched as the top of 32. */
const lead = 8;

/**
 * Opens the samples of one inspected file of uncompressed samples. Close the reader when done.
 *
 * @throws DeskroundError `no-such-file`
 * @example
 * // Read as sixteen bits without a header, the file's own bytes are samples.
 * const info = { file: recording, bits: 16, channels: 1, frames: 2, dataOffset: 0, sampleFormat: "int" };
 * const reader = openPcmSamples(info);
 * const samples = new Float64Array(1);
 * reader.read(0, 1, 0, samples); // 1
 * // "fL", little-endian: 0x4c66 of 0x8000.
 * samples[0]; // 0.596863
 * reader.close();
 */
export function openPcmSamples(info: PcmInfo): SampleReader {
  const { bits, channels, frames } = info;
  const sampleBytes = bits / 8;
  const frameBytes = sampleBytes * channels;
  const roomFrames = Math.max(leastBlockFrames, Math.floor(leastBlockBytes / frameBytes));
  const blockFrames = Math.min(roomFrames, frames);
  const bytes = new Uint8Array(lead + blockFrames * frameBytes + lead);
  const view = new DataView(bytes.buffer);
  const decode = decoderFor(info);
  const source = openFile(info.file);
  let badSamples = 0;
  let heldFirst = 0;
  let heldFrames = 0;

  /** Reads frames into the block; those it already holds are moved, not read again. */
  function hold(first: number): void {
    const kept = first - heldFirst;
    let have = 0;
    if (kept >= 0 && kept < heldFrames) {
      have = heldFrames - kept;
      bytes.copyWithin(lead, lead + kept * frameBytes, lead + heldFrames * frameBytes);
    }
    const wanted = Math.min(blockFrames, frames - first);
    const from = info.dataOffset + (first + have) * frameBytes;
    const target = bytes.subarray(lead + have * frameBytes, lead + wanted * frameBytes);
    heldFrames = 0;
    if (source.readInto(target, from) < target.length) throw shrunkError(info.file);
    heldFirst = first;
    heldFrames = wanted;
  }

  return {
    info,
    frames,
    get badSamples() {
      return badSamples;
    },
    read(firstFrame, count, channel, out) {
      if (
        !(Number.isSafeInteger(firstFrame) && firstFrame >= 0 && channel >= 0 && channel < channels)
      ) {
        throw new RangeError(`No frame ${firstFrame} or channel ${channel}`);
      }
      const total = Math.max(0, Math.min(count, frames - firstFrame));
      let done = 0;
      while (done < total) {
        const first = firstFrame + done;
        const part = Math.min(total - done, blockFrames);
        if (first < heldFirst || first + part > heldFirst + heldFrames) hold(first);
        const offset = lead + (first - heldFirst) * frameBytes + channel * sampleBytes;
        badSamples += decode(view, offset, frameBytes, part, out, done);
        done += part;
      }
      return total;
    },
    close: () => source.close(),
  };
}

/**
 * Float samples can exceed full scale, by some 20 dB if a level was raised after the converter.
 * Full scale is 12 to 24 dBu, so 40 dB above it is 300 V or more, which no desk delivers. Such a
 * sample comes from a damaged file, and a single one would swamp everything near it.
 */
const mostMagnitude = 100;

function decoderFor({ sampleFormat, bits, layout }: PcmInfo): Decoder {
  const isLittle = layout?.byteOrder !== "big";
  if (sampleFormat === "float") return bits === 64 ? float64(isLittle) : float32(isLittle);
  if (bits === 16) return int16(isLittle);
  return bits === 24 ? int24(isLittle) : int32(isLittle);
}

const int16 =
  (isLittle: boolean): Decoder =>
  (view, offset, stride, count, out, at) => {
    const scale = 2 ** -15;
    for (let i = 0, p = offset; i < count; i++, p += stride) {
      out[at + i] = view.getInt16(p, isLittle) * scale;
    }
    return 0;
  };

const int24 =
  (isLittle: boolean): Decoder =>
  (view, offset, stride, count, out, at) => {
    const scale = 2 ** -23;
    // The byte beyond the sample is the lowest of the 32 bits, before it or after it. Two loops,
    // since testing the byte order at every sample takes half as long again.
    if (isLittle) {
      for (let i = 0, p = offset - 1; i < count; i++, p += stride) {
        out[at + i] = (view.getInt32(p, true) >> 8) * scale;
      }
    } else {
      for (let i = 0, p = offset; i < count; i++, p += stride) {
        out[at + i] = (view.getInt32(p, false) >> 8) * scale;
      }
    }
    return 0;
  };

const int32 =
  (isLittle: boolean): Decoder =>
  (view, offset, stride, count, out, at) => {
    const scale = 2 ** -31;
    for (let i = 0, p = offset; i < count; i++, p += stride) {
      out[at + i] = view.getInt32(p, isLittle) * scale;
    }
    return 0;
  };

const float32 =
  (isLittle: boolean): Decoder =>
  (view, offset, stride, count, out, at) => {
    let bad = 0;
    for (let i = 0, p = offset; i < count; i++, p += stride) {
      const sample = view.getFloat32(p, isLittle);
      // No comparison holds for NaN.
      if (sample >= -mostMagnitude && sample <= mostMagnitude) {
        out[at + i] = sample;
      } else {
        out[at + i] = 0;
        bad++;
      }
    }
    return bad;
  };

const float64 =
  (isLittle: boolean): Decoder =>
  (view, offset, stride, count, out, at) => {
    let bad = 0;
    for (let i = 0, p = offset; i < count; i++, p += stride) {
      const sample = view.getFloat64(p, isLittle);
      // No comparison holds for NaN.
      if (sample >= -mostMagnitude && sample <= mostMagnitude) {
        out[at + i] = sample;
      } else {
        out[at + i] = 0;
        bad++;
      }
    }
    return bad;
  };
