import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { inspectRecording } from "../../dist/capture/containers/inspect-recording.js";
import { openSamples } from "../../dist/capture/containers/open-samples.js";
import { DeskroundError } from "../../dist/errors.js";
import { formatDoubt } from "../../dist/report/doubts/format-doubt.js";
import { randomOf } from "./random.mjs";

const u16 = (n) => [n & 255, (n >>> 8) & 255];
const u32 = (n) => [...u16(n & 0xffff), ...u16(Math.floor(n / 65536) & 0xffff)];
const text = (s) => [...Buffer.from(s, "latin1")];
const chunk = (id, body, size = body.length) => [
  ...text(id),
  ...u32(size),
  ...body,
  ...(body.length % 2 ? [0] : []),
];

/** Values that break careless readers. */
const awkward = [
  0, 1, 2, 3, 7, 255, 256, 65535, 44_100, 192_001, 0x7fff_ffff, 0x8000_0000, 0xffff_fff0,
  0xffff_fffe, 0xffff_ffff,
];
const ids = "fmt |data|bext|cue |LIST|fact|JUNK|ds64|id3 |iXML|abcd|\u0000\u0001\u0002\u0003".split(
  "|",
);

function format(r) {
  const bits = r.of([16, 24, 32, 64, 8, 20, 0]);
  const channels = r.of([1, 2, 3, 64, 65, 0]);
  const rate = r.of([44_100, 48_000, 96_000, 192_000, 8000, 0, 0xffff_ffff]);
  const tag = r.of([1, 3, 0xfffe, 2, 80, 65535]);
  const frame = r.chance(0.9) ? (channels * bits) / 8 : r.below(65536);
  const body = [
    ...u16(tag),
    ...u16(channels),
    ...u32(rate),
    ...u32(rate * frame),
    ...u16(frame),
    ...u16(bits),
  ];
  if (tag !== 0xfffe) return body;
  const guid = [
    ...u16(r.of([1, 3, 9])),
    0,
    0,
    0,
    0,
    0x10,
    0,
    0x80,
    0,
    0,
    0xaa,
    0,
    0x38,
    0x9b,
    0x71,
  ];
  return [...body, ...u16(22), ...u16(bits), ...u32(0), ...guid];
}

function body(r) {
  return Array.from({ length: r.below(r.of([4, 40, 300])) }, () => r.below(256));
}

function anyChunk(r) {
  const id = r.of(ids);
  if (id === "fmt ") return chunk(id, format(r));
  if (id === "LIST")
    return chunk(id, [...text("adtl"), ...chunk("labl", [...u32(r.of([0, 1, 7])), ...body(r)])]);
  if (id === "cue ") {
    const points = Array.from({ length: r.below(4) }, () => [
      ...u32(r.of([0, 1, 7])),
      ...u32(r.of(awkward)),
      ...text("data"),
      ...u32(0),
      ...u32(0),
      ...u32(r.of(awkward)),
    ]);
    return chunk(id, [...u32(r.chance(0.8) ? points.length : r.of(awkward)), ...points.flat()]);
  }
  if (id === "bext")
    return chunk(
      id,
      Array.from({ length: r.of([10, 340, 602, 700]) }, () => r.below(256)),
    );
  if (id === "ds64")
    return chunk(id, [
      ...u32(300),
      ...u32(0),
      ...u32(r.of(awkward)),
      ...u32(r.of([0, 0, 1])),
      ...body(r),
    ]);
  const own = body(r);
  return chunk(id, own, r.chance(0.8) ? own.length : r.of(awkward));
}

const containers = "RIFF|RIFF|RIFF|RIFF|RIFF|RF64|RF64|BW64|RIFX|FORM".split("|");

/** Bytes that are a WAV file, or nearly one. */
export function headerCase(seed) {
  const r = randomOf(seed);
  const parts = [];
  if (r.chance(0.95))
    parts.push(
      chunk(
        "fmt ",
        r.chance(0.8) ? [1, 0, 1, 0, ...u32(48_000), ...u32(96_000), 2, 0, 16, 0] : format(r),
      ),
    );
  for (let k = r.below(4); k > 0; k--) parts.splice(r.below(parts.length + 1), 0, anyChunk(r));
  const samples = body(r);
  parts.push(chunk("data", samples, r.chance(0.85) ? samples.length : r.of(awkward)));
  if (r.chance(0.4)) parts.push(anyChunk(r));
  let bytes = [
    ...text(r.of(containers)),
    ...u32(r.of(awkward)),
    ...text(r.chance(0.95) ? "WAVE" : "AVI "),
    ...parts.flat(),
  ];
  for (let k = r.of([0, 0, 0, 1, 1, 2, 4]); k > 0; k--) {
    const at = r.below(bytes.length + 1);
    const what = r.below(5);
    if (what === 0) bytes[at] = r.below(256);
    else if (what === 1) bytes.splice(at - (at % 4), 4, ...u32(r.of(awkward)));
    else if (what === 2) bytes.splice(at, r.below(20));
    else if (what === 3)
      bytes.splice(at, 0, ...Array.from({ length: r.below(20) }, () => r.below(256)));
    else if (r.chance(0.3)) bytes = bytes.slice(0, at);
  }
  return Uint8Array.from(bytes, (b) => b ?? 0);
}

/**
 * Reads such a file as far as it lets itself be read, and checks what can be checked.
 *
 * @returns {Promise<"read" | "refused">}
 * @throws AssertionError, or whatever else the reader throws that is not a error for the user
 */
export async function readHeaderCase(seed, file) {
  const bytes = headerCase(seed);
  writeFileSync(file, bytes);
  try {
    const info = inspectRecording(file);
    const frameBytes = (info.channels * info.bits) / 8;
    assert(info.frames > 0, "a file without samples");
    assert(info.dataOffset + info.frames * frameBytes <= bytes.length, "samples beyond the end");
    assert(info.sampleRate >= 44_100 && info.sampleRate <= 192_000, "a rate that is not read");
    const reader = await openSamples(info);
    const out = new Float64Array(info.frames);
    assert.equal(reader.read(0, info.frames, info.channels - 1, out), info.frames);
    reader.close();
    assert(out.every(Number.isFinite), "samples that are no numbers");
    const texts = [
      ...info.doubts.map(formatDoubt),
      ...info.cues.map(({ label }) => label),
      ...Object.values(info.bext ?? {}).map(String),
    ];
    for (const one of texts) assert.doesNotMatch(one, /[\p{Cc}\p{Cf}]/u);
    return "read";
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    assert.doesNotMatch(`${error.message}${error.hint}`, /\p{Cc}/u);
    return "refused";
  }
}
