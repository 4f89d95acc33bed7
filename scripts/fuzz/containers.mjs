import assert from "node:assert/strict";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { inspectRecording } from "../../dist/capture/containers/inspect-recording.js";
import { openSamples } from "../../dist/capture/containers/open-samples.js";
import { DeskroundError } from "../../dist/errors.js";
import { formatDoubt } from "../../dist/report/doubts/format-doubt.js";
import { randomOf } from "./random.mjs";

const fixtures = new URL("../../fixtures/", import.meta.url);
const seeds = ["flac", "aiff"].flatMap((kind) => {
  const folder = new URL(`${kind}/`, fixtures);
  return readdirSync(folder)
    .filter((name) => !name.endsWith(".md"))
    .map((name) => readFileSync(new URL(name, folder)));
});
/** Where the header of a file is, roughly: half of the changes are made there. */
const headBytes = 100;
/** Frames read of a file, however many its header promises. */
const mostRead = 1 << 20;

/** Bytes that were a FLAC or AIFF file. */
export function containerCase(seed) {
  const r = randomOf(seed);
  let bytes = [...r.of(seeds)];
  for (let k = r.of([1, 1, 2, 3, 8]); k > 0; k--) {
    const at = r.below(r.chance(0.5) ? Math.min(headBytes, bytes.length) : bytes.length);
    const what = r.below(7);
    if (what === 0) bytes[at] ^= 1 << r.below(8);
    else if (what === 1) bytes[at] = r.of([0, 1, 127, 128, 254, 255]);
    else if (what === 2) bytes.splice(at, r.below(r.of([4, 100, 5000])));
    else if (what === 3) {
      bytes.splice(at, 0, ...Array.from({ length: r.below(50) }, () => r.below(256)));
    } else if (what === 4) {
      const from = r.below(bytes.length);
      bytes.splice(at, 0, ...bytes.slice(from, from + r.below(5000)));
    } else if (what === 5) bytes.fill(r.of([0, 255]), at, at + r.below(3000));
    else if (r.chance(0.5)) bytes = bytes.slice(0, at);
  }
  return Uint8Array.from(bytes);
}

/**
 * Reads such a file as far as it lets itself be read, and checks what can be checked.
 *
 * @returns {Promise<"read" | "damaged" | "refused">}
 * @throws AssertionError, or whatever else the reader throws that is not a error for the user
 */
export async function readContainerCase(seed, file) {
  writeFileSync(file, containerCase(seed));
  try {
    const info = inspectRecording(file);
    assert(info.frames > 0, "a file without samples");
    const reader = await openSamples(info);
    const out = new Float64Array(Math.min(info.frames, mostRead));
    for (const first of [0, Math.floor(info.frames / 2), info.frames - 10]) {
      const wanted = Math.min(out.length, info.frames - Math.max(0, first));
      assert.equal(reader.read(Math.max(0, first), wanted, info.channels - 1, out), wanted);
      assert(
        out.every((x) => Math.abs(x) <= 100),
        "samples that are no numbers",
      );
    }
    reader.close();
    for (const one of [...info.doubts.map(formatDoubt), ...info.cues.map(({ label }) => label)]) {
      assert.doesNotMatch(one, /[\p{Cc}\p{Cf}]/u);
    }
    return reader.badSamples > 0 || info.doubts.length > 0 ? "damaged" : "read";
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    assert.doesNotMatch(`${error.message}${error.hint}`, /\p{Cc}/u);
    return "refused";
  }
}
