import { closeSync, openSync, readSync } from "node:fs";
import { openSamples } from "../../capture/containers/open-samples.js";
import { type EmbeddedPass, findEmbeddedPass, type SignalFile } from "../../capture/signal-file.js";
import type { RecordingInfo } from "../../capture/types.js";
import { buildPassSignal } from "../../signal/pass-signal.js";
import { computePassFrames, encodePassWav } from "../../signal/pass-wav.js";
import { chooseBand, sampleRates } from "../../signal/signal-table.js";
import {
  computeSignalFrames,
  encodeSignalSamples,
  type SignalFormat,
  signalFormats,
} from "../../signal/signal-wav.js";

/**
 * Whether a file is the one to play: whether it holds, sample by sample, what `deskround signal`
 * writes, in any container.
 *
 * @param signal as given by its labels; undefined for a file without labels
 */
export async function isSignalItself(
  signal: SignalFile | undefined,
  info: RecordingInfo,
): Promise<boolean> {
  if (signal === undefined || !sampleRates.includes(signal.sampleRate)) return false;
  const { table, sampleRate } = signal;
  // Avoids synthesising a signal for a recording of another length.
  if (info.frames !== countFramesOfSignal(signal, info)) return false;
  const pass = findEmbeddedPass(info);
  if (pass !== undefined) return isPassItself(pass, table, sampleRate, info);
  if (info.channels !== 1) return false;
  if (table.band === "wide" && chooseBand(sampleRate) !== "wide") return false;
  const format = formatOf(info);
  if (format === undefined) return false;
  return holdsSamples(info, encodeSignalSamples(table, sampleRate, format), format);
}

/**
 * Sample frames of a file with the complete signal: a file still being copied has fewer.
 *
 * @param signal as given by the file's labels
 *
 * @returns 0 if the labels describe no known signal
 */
export function countFramesOfSignal(
  { table, sampleRate }: SignalFile,
  info: RecordingInfo,
): number {
  const pass = findEmbeddedPass(info);
  if (pass === undefined) return computeSignalFrames(table, sampleRate);
  const { profile, band } = table;
  const isOurs = profile !== "controls" && pass.used.includes(true);
  if (!isOurs || pass.used.length !== info.channels) return 0;
  return computePassFrames(buildPassSignal(profile, band, pass.used, pass.form), sampleRate);
}

/** Whether a multichannel file is the signal of a pass, byte for byte. */
function isPassItself(
  { used, form }: EmbeddedPass,
  { profile, band }: SignalFile["table"],
  sampleRate: number,
  info: RecordingInfo,
): boolean {
  const format = formatOf(info);
  if (format === undefined) return false;
  const pass = buildPassSignal(profile, band, used, form);
  const handle = openSync(info.file, "r");
  try {
    return isSame(handle, encodePassWav(pass, sampleRate, format));
  } finally {
    closeSync(handle);
  }
}

function isSame(handle: number, pieces: Iterable<Uint8Array>): boolean {
  let at = 0;
  for (const piece of pieces) {
    const there = Buffer.alloc(piece.length);
    if (readSync(handle, there, 0, piece.length, at) < piece.length) return false;
    if (!there.equals(piece)) return false;
    at += piece.length;
  }
  return true;
}

function formatOf({ sampleFormat, bits }: RecordingInfo): SignalFormat | undefined {
  return signalFormats.find(
    (name) => name === `${sampleFormat === "float" ? "float" : "int"}${bits}`,
  );
}

const blockFrames = 65_536;

/** Whether a mono recording has exactly these samples. */
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
