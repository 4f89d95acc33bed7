import { openSamples } from "../../capture/containers/open-samples.js";
import type { SignalFile } from "../../capture/signal-file.js";
import type { RecordingInfo } from "../../capture/types.js";
import { chooseBand, sampleRates } from "../../signal/signal-table.js";
import {
  computeSignalFrames,
  encodeSignalSamples,
  type SignalFormat,
  signalFormats,
} from "../../signal/signal-wav.js";

/**
 * Whether a file is the one to play: whether it holds, sample by sample, what `deskround signal`
 * writes, in whatever container it was saved again.
 *
 * @param signal what its own labels say it is; undefined for a file without such
 */
export async function isSignalItself(
  signal: SignalFile | undefined,
  info: RecordingInfo,
): Promise<boolean> {
  if (signal === undefined || !sampleRates.includes(signal.sampleRate)) return false;
  const { table, sampleRate } = signal;
  // Nothing is synthesised for a recording that cannot be it.
  if (info.channels !== 1 || info.frames !== computeSignalFrames(table, sampleRate)) return false;
  if (table.band === "wide" && chooseBand(sampleRate) !== "wide") return false;
  const format = signalFormats.find(
    (name) => name === `${info.sampleFormat === "float" ? "float" : "int"}${info.bits}`,
  );
  if (format === undefined) return false;
  return holdsSamples(info, encodeSignalSamples(table, sampleRate, format), format);
}

const blockFrames = 65_536;

/** Whether a recording of one channel holds just these samples. */
async function holdsSamples(
  info: RecordingInfo,
  bytes: Uint8Array,
  format: SignalFormat,
): Promise<boolean> {
  const sampleAt = decoderOf(bytes, format);
  const reader = await openSamples(info);
  try {
    const block = new Float64Array(blockFrames);
    for (let at = 0; at < info.frames; at += blockFrames) {
      const count = reader.read(at, blockFrames, 0, block);
      for (let i = 0; i < count; i++) {
        if (block[i] !== sampleAt(at + i)) return false;
      }
    }
    return reader.badSamples === 0;
  } finally {
    reader.close();
  }
}

function decoderOf(bytes: Uint8Array, format: SignalFormat): (frame: number) => number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  switch (format) {
    case "int16":
      return (n) => view.getInt16(2 * n, true) / 2 ** 15;
    case "int24":
      return (n) => (view.getUint16(3 * n, true) + 65_536 * view.getInt8(3 * n + 2)) / 2 ** 23;
    case "int32":
      return (n) => view.getInt32(4 * n, true) / 2 ** 31;
    case "float32":
      return (n) => view.getFloat32(4 * n, true);
  }
}
