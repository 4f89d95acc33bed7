import { createDitherSource, encodeSamples, type SignalFormat } from "./encode.js";
import type { PassSignal, PassTurn } from "./pass-signal.js";
import { encodePassHeader } from "./signal-wav.js";
import { renderSegment } from "./synthesise.js";

/** Frames made at a time. */
const blockFrames = 65_536;

/**
 * Number of frames in the file of a pass.
 *
 * @example
 * const pass = buildPassSignal("quick", "base", [true, true], "turns");
 * computePassFrames(pass, 48000) >= pass.lengthS * 48000; // true
 */
export function computePassFrames({ lengthS }: PassSignal, sampleRate: number): number {
  // Even, so that no format needs a pad byte.
  return 2 * Math.ceil((lengthS * sampleRate) / 2);
}

/**
 * The signal of a pass as a WAV file with one channel per output, yielded piece by piece. The
 * same arguments give the same bytes.
 *
 * @throws DeskroundError `usage` for a rate that the signal does not support
 * @example
 * const pass = buildPassSignal("quick", "base", [true, true], "turns");
 * const [header] = encodePassWav(pass, 48000, "int24");
 * String.fromCharCode(...header.subarray(0, 4)); // "RIFF"
 */
export function* encodePassWav(
  pass: PassSignal,
  sampleRate: number,
  format: SignalFormat,
): Generator<Uint8Array> {
  const frames = computePassFrames(pass, sampleRate);
  yield encodePassHeader(pass, sampleRate, format, frames);
  const random = createDitherSource();
  const channels = pass.outputs.length;
  const own = new Float64Array(blockFrames);
  const frame = new Float64Array(blockFrames * channels);
  for (let from = 0; from < frames; from += blockFrames) {
    const count = Math.min(blockFrames, frames - from);
    frame.fill(0, 0, count * channels);
    for (const [channel, turn] of pass.outputs.entries()) {
      if (turn === undefined || !renderTurn(turn, sampleRate, from, own.subarray(0, count)))
        continue;
      for (let i = 0; i < count; i++) frame[i * channels + channel] = own[i];
    }
    yield encodeSamples(frame.subarray(0, count * channels), format, random);
  }
}

/** Writes one output's samples from a given frame on; false if the output is silent there. */
function renderTurn(
  { table, startS }: PassTurn,
  sampleRate: number,
  from: number,
  out: Float64Array,
): boolean {
  const fromS = from / sampleRate - startS;
  const untilS = fromS + out.length / sampleRate;
  if (untilS <= 0 || fromS >= table.lengthS) return false;
  out.fill(0);
  for (const segment of table.segments) {
    const offS = fromS - segment.startS;
    if (untilS <= segment.startS || offS >= segment.lengthS) continue;
    const first = Math.max(0, Math.ceil(-offS * sampleRate - 1e-6));
    const last = Math.min(out.length, Math.ceil((segment.lengthS - offS) * sampleRate));
    if (first >= last) continue;
    renderSegment(segment, offS + first / sampleRate, 1 / sampleRate, out.subarray(first, last));
  }
  return true;
}
