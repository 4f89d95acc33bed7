import assert from "node:assert/strict";
import fc from "fast-check";
import { describe, it } from "vitest";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../src/capture/containers/open-samples.js";
import { DeskroundError } from "../../src/errors.js";
import { formatDoubt } from "../../src/report/doubts/format-doubt.js";
import { slow } from "../helpers/slow.js";
import {
  ascii,
  chunk,
  container,
  fmt,
  fmtExtensible,
  join8,
  scratchFolder,
  sized,
  u32,
  u64,
  wav,
} from "./wav-bytes.js";

const save = scratchFolder();

/** Reads the file as far as it lets itself be read, and checks what can be checked. */
async function survive(bytes: Uint8Array): Promise<void> {
  const file = save("fuzz.wav", bytes);
  try {
    const info = inspectRecording(file);
    const frameBytes = (info.channels * info.bits) / 8;
    assert(info.frames > 0);
    assert(info.dataOffset + info.frames * frameBytes <= bytes.length);
    const reader = await openSamples(info);
    const out = new Float64Array(info.frames);
    assert.equal(reader.read(0, info.frames, info.channels - 1, out), info.frames);
    reader.close();
    assert(out.every(Number.isFinite));
    const texts = [...info.doubts.map(formatDoubt), ...info.cues.map(({ label }) => label)];
    if (info.bext) texts.push(info.bext.description, info.bext.originatorReference);
    for (const text of texts) assert.doesNotMatch(text, /[\p{Cc}\p{Cf}]/u);
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    assert.doesNotMatch(error.message, /\p{Cc}/u);
  }
}

const labels = join8(ascii("adtl"), chunk("labl", join8(u32(1), ascii("first\0"))));
const texts = [
  chunk("bext", new Uint8Array(602).fill(65)),
  chunk("cue ", join8(u32(1, 1, 2), ascii("data"), u32(0, 0, 2))),
  chunk("LIST", labels),
];
const samples = new Uint8Array(96).map((_, k) => k * 37);
const ds64 = chunk("ds64", join8(u64(300), u64(96), u64(48), u32(1), ascii("big "), u64(4)));
const seeds = [
  wav(fmt(), chunk("data", samples), ...texts),
  wav(...texts, fmt({ tag: 3, bits: 32, channels: 2 }), chunk("data", samples)),
  wav(fmtExtensible({ channels: 2 }), chunk("odd ", ascii("odd")), chunk("data", samples)),
  wav(fmt({ bits: 24 }), sized("data", 0, samples)),
  container("RF64", ds64, fmt(), sized("data", 0xffff_ffff, samples), ...texts),
];

/** Values that break careless readers. */
const awkward = fc.constantFrom(
  0,
  1,
  2,
  3,
  7,
  255,
  0x7fff_ffff,
  0x8000_0000,
  0xffff_fffe,
  0xffff_ffff,
);
const change = fc.oneof(
  fc.record({ kind: fc.constant("byte" as const), at: fc.nat(), value: fc.nat(255) }),
  fc.record({ kind: fc.constant("word" as const), at: fc.nat(), value: awkward }),
  fc.record({ kind: fc.constant("cut" as const), at: fc.nat(), value: fc.nat(20) }),
  fc.record({ kind: fc.constant("insert" as const), at: fc.nat(), value: fc.nat(20) }),
  fc.record({ kind: fc.constant("end" as const), at: fc.nat(), value: fc.constant(0) }),
);

describe("a file of any bytes gives samples or an error for the user, nothing else,", slow, () => {
  it("when it is a WAV file with damaged places", slow, async () => {
    const files = fc.tuple(
      fc.constantFrom(...seeds),
      fc.array(change, { minLength: 1, maxLength: 6 }),
    );
    await fc.assert(
      fc.asyncProperty(files, async ([seed, changes]) => {
        let bytes = [...seed];
        for (const { kind, at: anywhere, value } of changes) {
          const at = anywhere % (bytes.length + 1);
          if (kind === "byte") bytes[Math.min(at, bytes.length)] = value;
          else if (kind === "word") bytes.splice(at - (at % 4), 4, ...u32(value));
          else if (kind === "cut") bytes.splice(at, value);
          else if (kind === "insert") bytes.splice(at, 0, ...new Array(value).fill(at & 255));
          else bytes = bytes.slice(0, at);
        }
        await survive(Uint8Array.from(bytes));
      }),
      { numRuns: 2500, seed: 1 },
    );
  });

  it("when it is anything", slow, async () => {
    const anything = fc.uint8Array({ maxLength: 200 });
    const chunks = fc.array(
      fc.tuple(
        fc.constantFrom("fmt ", "data", "LIST", "cue ", "bext", "ds64", "abcd"),
        awkward,
        anything,
      ),
      { maxLength: 8 },
    );
    await fc.assert(
      fc.asyncProperty(
        anything,
        chunks,
        fc.constantFrom("RIFF", "RF64"),
        async (bytes, parts, id) => {
          await survive(bytes);
          await survive(
            container(id, ...parts.map(([name, size, body]) => sized(name, size, body)), bytes),
          );
          await survive(container(id, fmt(), ...parts.map(([name, , body]) => chunk(name, body))));
        },
      ),
      { numRuns: 500, seed: 2 },
    );
  });
});
