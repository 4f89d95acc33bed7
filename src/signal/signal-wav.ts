import { createRequire } from "node:module";
import { DeskroundError } from "../errors.js";
import { encodeSamples, type SignalFormat } from "./encode.js";
import { formatHeading, formatSegment } from "./labels.js";
import { demoOriginator, signalOriginator, toneOriginator } from "./own-files.js";
import type { PassSignal } from "./pass-signal.js";
import { sampleRates } from "./signal-table.js";
import { synthesise } from "./synthesise.js";
import type { SignalTable } from "./types.js";

export { type SignalFormat, signalFormats } from "./encode.js";

/** The parts of wavefile's object that are set here; its own types only say `object`. */
interface WaveParts {
  readonly fmt: {
    audioFormat: number;
    chunkSize: number;
    dwChannelMask: number;
    readonly subformat: number[];
  };
  readonly fact: { chunkId: string; chunkSize: number; dwSampleLength: number };
  readonly data: { samples: Uint8Array };
  readonly bext: Record<string, string | number>;
  readonly cue: { chunkId: string; dwCuePoints: number; points: object[] };
  readonly LIST: object[];
}

const bitDepths: Readonly<Record<SignalFormat, string>> = {
  int16: "16",
  int24: "24",
  int32: "32",
  float32: "32f",
};

/**
 * The signal's name as in the `bext` chunk, at most 32 characters:
 * `v1-standard-base-48000-int24`.
 * @example
 * formatSignalId(buildSignalTable("quick", "base"), 48000, "int24"); // "v1-quick-base-48000-int24"
 */
export function formatSignalId(
  table: SignalTable,
  sampleRate: number,
  format: SignalFormat,
): string {
  const { version, profile, band } = table;
  return `v${version}-${profile}-${band}-${sampleRate}-${format}`;
}

/**
 * Number of samples in the signal's file at a rate, including one that makes the number even.
 *
 * @example
 * const table = buildSignalTable("quick", "base");
 * computeSignalFrames(table, 48000) >= table.lengthS * 48000; // true
 */
export function computeSignalFrames({ lengthS }: SignalTable, sampleRate: number): number {
  return evenFrames(Math.round(lengthS * sampleRate));
}

/** wavefile leaves out the pad byte that RIFF requires after an odd number of bytes. */
function evenFrames(frames: number): number {
  return frames + (frames % 2);
}

/**
 * The signal as a one-channel WAV file. Its identity is in a `bext` chunk (EBU Tech 3285
 * version 1), its segment table in the labels of its cue points, so the file alone says what was
 * played. The same arguments give the same bytes.
 *
 * @param sampleRate one of `sampleRates`; band `wide` needs 88.2 kHz or more
 * @returns bytes of the file; it has an even number of samples, one of silence being added if need be
 * @throws DeskroundError `usage` for a rate that the signal is not made for
 * @example
 * const wav = encodeSignalWav(buildSignalTable("quick", "base"), 48000, "int24");
 * String.fromCharCode(...wav.subarray(0, 4)); // "RIFF"
 */
export function encodeSignalWav(
  table: SignalTable,
  sampleRate: number,
  format: SignalFormat,
): Uint8Array {
  checkRate(table, sampleRate);
  const id = formatSignalId(table, sampleRate, format);
  const file = waveOf(synthesise(table, sampleRate), sampleRate, format);
  const parts = file as unknown as WaveParts;
  Object.assign(parts.bext, {
    version: 1,
    description: description(id, table.lengthS),
    originator: signalOriginator,
    originatorReference: id,
    codingHistory: codingHistory(table, sampleRate, format),
  });
  addCues(parts, table, sampleRate);
  return file.toBuffer();
}

/**
 * Samples as a one-channel WAV file without further chunks, as a recorder writes it.
 *
 * @param samples full scale ±1
 * @returns bytes of the file, with one sample of silence added to an odd number
 * @example
 * encodeCaptureWav(new Float64Array(480), 48000, "int16").length > 960; // true
 */
export function encodeCaptureWav(
  samples: Float64Array,
  sampleRate: number,
  format: SignalFormat,
): Uint8Array {
  return waveOf(samples, sampleRate, format).toBuffer();
}

/**
 * The samples of the signal's file without its header: they are the same in whatever container the
 * file was saved.
 *
 * @returns little-endian bytes of `computeSignalFrames` samples
 * @example
 * const table = buildSignalTable("quick", "base");
 * encodeSignalSamples(table, 48000, "int24").length === 3 * computeSignalFrames(table, 48000); // true
 */
export function encodeSignalSamples(
  table: SignalTable,
  sampleRate: number,
  format: SignalFormat,
): Uint8Array {
  const samples = new Float64Array(computeSignalFrames(table, sampleRate));
  samples.set(synthesise(table, sampleRate));
  return encodeSamples(samples, format);
}

/**
 * A recording rendered by the demo: as {@link encodeCaptureWav}, with a `bext` chunk by which the
 * demo recognises its own recordings.
 *
 * @example
 * encodeDemoWav(new Float64Array(480), 48000).length > 480; // true
 */
export function encodeDemoWav(samples: Float64Array, sampleRate: number): Uint8Array {
  const file = waveOf(samples, sampleRate, "int24");
  Object.assign((file as unknown as WaveParts).bext, {
    version: 1,
    description: "A virtual path of the demo: nothing here is real.",
    originator: demoOriginator,
  });
  return file.toBuffer();
}

/**
 * The header of a file with a steady tone, with a `bext` chunk that says so. The samples follow it.
 *
 * @param count samples that follow
 * @example
 * const tone = { frequencyHz: 1000, levelDbfs: -18, sampleRate: 48000, format: "int24" };
 * String.fromCharCode(...encodeToneHeader(tone, 48000).subarray(0, 4)); // "RIFF"
 */
export function encodeToneHeader(
  tone: {
    readonly frequencyHz: number;
    readonly levelDbfs: number;
    readonly sampleRate: number;
    readonly format: SignalFormat;
  },
  count: number,
): Uint8Array {
  const { frequencyHz, levelDbfs, sampleRate, format } = tone;
  const file = waveOf(new Float64Array(0), sampleRate, format);
  const parts = file as unknown as WaveParts;
  if (format === "float32") parts.fact.dwSampleLength = count;
  Object.assign(parts.bext, {
    version: 1,
    description: `A steady tone of ${frequencyHz} Hz at ${levelDbfs} dBFS: mute the monitors and turn headphones down before playing.`,
    originator: toneOriginator,
  });
  return withSampleBytes(file.toBuffer(), count * bytesEach(format));
}

/**
 * The reference in a pass's `bext` chunk: its form, and for each channel whether its output plays.
 */
export const passReference = /^pass-(turns|together|at-once)-([01]{1,15})$/;

/**
 * The header of the file of a pass, with a `bext` chunk that says what it is. The samples follow it.
 *
 * @param frames that follow, an even number
 * @throws DeskroundError `usage` for a rate that the signal is not made for
 * @example
 * const pass = buildPassSignal("quick", "base", [true, true], "turns");
 * String.fromCharCode(...encodePassHeader(pass, 48000, "int24", 480).subarray(0, 4)); // "RIFF"
 */
export function encodePassHeader(
  { form, outputs, lengthS }: PassSignal,
  sampleRate: number,
  format: SignalFormat,
  frames: number,
): Uint8Array {
  const channels = outputs.length;
  const table = outputs.find((turn) => turn !== undefined)?.table;
  if (table === undefined) throw new RangeError("a pass without an output");
  checkRate(table, sampleRate);
  const file = newWaveFile();
  file.fromScratch(channels, sampleRate, bitDepths[format], []);
  const parts = file as unknown as WaveParts;
  if (channels > 2) {
    // wavefile leaves the tag that says so, and the sub-format of floats, as they were.
    parts.fmt.audioFormat = extensibleTag;
    parts.fmt.subformat[0] = format === "float32" ? floatTag : pcmTag;
    // Outputs of an interface are not loudspeaker positions.
    parts.fmt.dwChannelMask = 0;
  }
  if (format === "float32") {
    if (channels <= 2) parts.fmt.chunkSize = 18;
    Object.assign(parts.fact, { chunkId: "fact", chunkSize: 4, dwSampleLength: frames });
  }
  const id = formatSignalId(table, sampleRate, format);
  Object.assign(parts.bext, {
    version: 1,
    description: [
      `Test signal for ${channels} outputs, ${form}, ${lengthS.toFixed(1)} s, ${id}.`,
      "Loud sweeps and tones: mute the monitors and turn headphones down before playing.",
      "One channel an output, without any processing.",
    ].join(" "),
    originator: signalOriginator,
    originatorReference: `pass-${form}-${outputs.map((turn) => (turn ? 1 : 0)).join("")}`,
    codingHistory: codingHistory(table, sampleRate, format, channels),
  });
  return withSampleBytes(file.toBuffer(), frames * channels * bytesEach(format));
}

/** Format tags: RFC 2361, and WAVE_FORMAT_EXTENSIBLE for more than two channels. */
const extensibleTag = 0xfffe;
const pcmTag = 1;
const floatTag = 3;

/** A header followed by samples: RIFF needs their size at its start, and again at its end. */
function withSampleBytes(header: Uint8Array, sampleBytes: number): Uint8Array {
  const view = new DataView(header.buffer, header.byteOffset, header.length);
  view.setUint32(4, header.length - 8 + sampleBytes, true);
  view.setUint32(header.length - 4, sampleBytes, true);
  return header;
}

function bytesEach(format: SignalFormat): number {
  return Number(format.replace(/\D/g, "")) / 8;
}

function waveOf(played: Float64Array, sampleRate: number, format: SignalFormat) {
  const samples = new Float64Array(evenFrames(played.length));
  samples.set(played);
  const file = newWaveFile();
  file.fromScratch(1, sampleRate, bitDepths[format], []);
  const parts = file as unknown as WaveParts;
  // Encoded here, as wavefile does not dither and rounds floats just below a power of two wrongly.
  parts.data.samples = encodeSamples(samples, format);
  if (format === "float32") {
    // Any format but integer PCM has an extension size and a `fact` chunk.
    parts.fmt.chunkSize = 18;
    Object.assign(parts.fact, { chunkId: "fact", chunkSize: 4, dwSampleLength: samples.length });
  }
  return file;
}

/** Loaded on first use, so that commands that write no signal do not wait for it. */
function newWaveFile() {
  const require = createRequire(import.meta.url);
  const { WaveFile } = require("wavefile") as typeof import("wavefile");
  return new WaveFile();
}

function checkRate({ band }: SignalTable, sampleRate: number): void {
  if (!sampleRates.includes(sampleRate)) {
    const rates = sampleRates.join(", ");
    throw new DeskroundError("usage", `No signal at ${sampleRate} Hz.`, `Rates are ${rates}.`);
  }
  if (band === "wide" && sampleRate < 88_200) {
    const hint = "Use a higher rate, or the band that fits this one.";
    throw new DeskroundError("usage", "The wide band needs 88.2 kHz or more.", hint);
  }
}

/** At most 256 characters, plain ASCII. */
function description(id: string, lengthS: number): string {
  return [
    `Test signal for the inputs of a mixing desk, ${lengthS.toFixed(1)} s, ${id}.`,
    "Loud sweeps and tones: mute the monitors and turn headphones down before playing.",
    "Play at its own sample rate, without any processing.",
  ].join(" ");
}

/** One line as in EBU R 98: coding, sampling frequency, word length, mode, free text. */
function codingHistory(
  table: SignalTable,
  sampleRate: number,
  format: SignalFormat,
  channels = 1,
): string {
  const bits = format.replace(/\D/g, "");
  const kind = format === "float32" ? "float" : "TPDF dither";
  const origin = `${signalOriginator} signal ${table.version}; ${kind}`;
  const mode = ["mono", "stereo"][channels - 1] ?? "multitrack";
  return `A=PCM,F=${sampleRate},W=${bits},M=${mode},T=${origin}\r\n`;
}

/** One cue for the heading and one at the first sample of each segment. */
function addCues(parts: WaveParts, table: SignalTable, sampleRate: number): void {
  const marks = [
    { sample: 0, label: formatHeading(table) },
    ...table.segments.map((segment) => ({
      sample: Math.round(segment.startS * sampleRate),
      label: formatSegment(segment),
    })),
  ];
  parts.cue.points = marks.map(({ sample }, k) => ({
    dwName: k + 1,
    dwPosition: sample,
    fccChunk: "data",
    dwChunkStart: 0,
    dwBlockStart: 0,
    dwSampleOffset: sample,
  }));
  parts.cue.chunkId = "cue ";
  parts.cue.dwCuePoints = marks.length;
  const subChunks = marks.map(({ label }, k) => ({ chunkId: "labl", dwName: k + 1, value: label }));
  parts.LIST.push({ chunkId: "LIST", format: "adtl", subChunks });
}
