import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../../../src/capture/containers/inspect-recording.js";
import { formatDoubt } from "../../../../src/report/doubts/format-doubt.js";
import { slow } from "../../../helpers/slow.js";
import {
  ascii,
  chunk,
  container,
  fmt,
  int16s,
  join8,
  scratchFolder,
  sized,
  thrownBy,
  u32,
  u64,
  wav,
} from "../../wav-bytes.js";

// Expected values: how the files are put together here, by the standards that chunks.ts names.

const save = scratchFolder();
const inspect = (bytes: Uint8Array) => inspectRecording(save("take.wav", bytes));
const samples = int16s(...Array.from({ length: 50 }, (_, k) => k * 300));
const data = chunk("data", samples);
const list = chunk("LIST", ascii("INFO"));
/** More than a second of 48 kHz, 16 bits, mono is told of. */
const second = 96_000;

describe("the way to the samples", () => {
  it("leads past chunks whose names are not plain", () => {
    const odd = [
      chunk("\xa9nam", ascii("zz")),
      chunk("\xa9nam", ascii("odd")),
      join8(chunk("\xa9nam", ascii("a title")), chunk("\xa9ART", ascii("a name"))),
      chunk("\0\0\0\0", new Uint8Array(0)),
      chunk("ab\x1bc", ascii("zz")),
    ];
    for (const one of odd) {
      expect(inspect(wav(fmt(), one, data))).toMatchObject({ frames: 50, doubts: [] });
      expect(inspect(wav(one, fmt(), data))).toMatchObject({ frames: 50, doubts: [] });
    }
  });

  it("leads past thousands of chunks", () => {
    const junk = new Array(5000).fill(chunk("JUNK", new Uint8Array(0)));
    expect(inspect(wav(...junk, fmt(), data))).toMatchObject({ frames: 50, doubts: [] });
  });

  it("that cannot be followed is said to be lost where it is", () => {
    const junk = join8(...new Array(9000).fill(chunk("JUNK", new Uint8Array(0))));
    const rows: readonly [Uint8Array, RegExp][] = [
      // The form's 12 bytes and a format chunk of 24; behind them bytes that are no head.
      [wav(fmt(), new Uint8Array(1000).fill(200), data), /cannot be followed at byte 36\b/],
      [wav(fmt(), new Uint8Array(1000), data), /cannot be followed at byte 36\b/],
      [wav(junk, fmt(), data), /cannot be followed at byte \d+, before its samples/],
    ];
    for (const [bytes, message] of rows) {
      const error = thrownBy(() => inspect(bytes));
      expect(error).toMatchObject({
        code: "recording-damaged",
        message: expect.stringMatching(message),
        hint: expect.not.stringMatching(/cut short/),
      });
    }
  });

  it("leads through any chunks of odd size, with their pad bytes or without", slow, () => {
    const one = fc.record({
      id: fc.constantFrom("abcd", "efgh", "LIST", "mine", "zz z", "JUNK"),
      body: fc.uint8Array({ maxLength: 90 }),
    });
    const files = fc.record({
      pad: fc.boolean(),
      before: fc.array(one, { maxLength: 6 }),
      after: fc.array(one, { maxLength: 3 }),
    });
    const built = (pad: boolean, chunks: readonly { id: string; body: Uint8Array }[]) =>
      chunks.map(({ id, body }) => (pad ? chunk(id, body) : sized(id, body.length, body)));
    fc.assert(
      fc.property(files, ({ pad, before, after }) => {
        const parts = [...built(pad, before), fmt(), ...built(pad, before), data];
        const offset = 12 + parts.reduce((sum, { length }) => sum + length, 0) - samples.length;
        const info = inspect(wav(...parts, ...built(pad, after)));
        expect(info).toMatchObject({ frames: 50, dataOffset: offset, doubts: [] });
      }),
      { numRuns: 1000, seed: 4 },
    );
  });

  it("leads past an empty chunk of samples, which is said", () => {
    const empty = chunk("data", new Uint8Array(0));
    for (const between of [[], [list], [chunk("mine", ascii("odd"))]]) {
      const info = inspect(wav(fmt(), empty, ...between, data));
      expect(info).toMatchObject({ frames: 50, doubts: [{ code: "first-samples-empty" }] });
    }
    const unclosed = sized("data", 0xffff_ffff, samples);
    expect(inspect(wav(empty, fmt(), unclosed)).doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/not closed properly/),
      expect.stringMatching(/is empty/),
    ]);
  });
});

describe("what the header does not report", () => {
  it("is reported when it looks like a chunk, whatever its size", slow, () => {
    const tails = fc.record({
      id: fc.constantFrom("aB1x", "zzzz", "    ", "\xa9nam", "\0\0\0\0"),
      size: fc.oneof(fc.nat(2 * second), fc.nat(0x7fff_ffff)),
    });
    fc.assert(
      fc.property(tails, ({ id, size }) => {
        // Bytes of 128 and more make no plain name, and too large a size.
        const rest = join8(ascii(id), u32(size), new Uint8Array(second).fill(200));
        if (Math.abs(8 + size - rest.length) <= 8) return;
        const head = wav(fmt(), data);
        const told = new RegExp(
          `${rest.length} bytes after the ${samples.length} bytes of samples`,
        );
        expect(inspect(Buffer.concat([head, rest])).doubts.map(formatDoubt)).toEqual([
          expect.stringMatching(told),
        ]);
      }),
      { numRuns: 40, seed: 5 },
    );
  });

  it("is counted from the last chunk of a known name", () => {
    const rest = new Uint8Array(second).fill(200);
    expect(inspect(Buffer.concat([wav(fmt(), data, list), rest])).doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/^.*: 96000 bytes after/),
    ]);
  });

  it("is not a long chunk of unknown name that ends with the file", () => {
    const own = chunk("mine", new Uint8Array(second));
    expect(inspect(wav(fmt(), data, own)).doubts.map(formatDoubt)).toEqual([]);
    expect(inspect(wav(fmt(), data, own, list)).doubts.map(formatDoubt)).toEqual([]);
  });
});

describe("a length of samples that cannot be meant", () => {
  it.each([
    0x7fff_f000, 0x7fff_ffdb, 0x7fff_fff0, 0x7fff_ffff, 0x8000_0000, 0xffff_f000, 0xffff_ffdb,
    0xffff_ffff,
  ])("is none: %i", (size) => {
    const info = inspect(wav(fmt(), sized("data", size, samples)));
    expect(info).toMatchObject({
      frames: 50,
      doubts: [{ code: "length-not-given", bytes: 100 }],
    });
  });

  it("is one when it is like no placeholder", () => {
    for (const size of [0x7000_0000, 0x9000_0000, 4000]) {
      expect(inspect(wav(fmt(), sized("data", size, samples))).doubts.map(formatDoubt)).toEqual([
        expect.stringMatching(new RegExp(`promises ${size} bytes .* cut short`)),
      ]);
    }
  });
});

describe("the length in ds64", () => {
  const ds64 = (length: number) => chunk("ds64", join8(u64(0), u64(length), u64(50), u32(0)));

  it("counts whatever was left in 32 bits, and chunks after it are not samples", () => {
    for (const id of ["RF64", "BW64", "RIFF"]) {
      for (const size of [0, 0x7fff_f000, 0xffff_ffff]) {
        const open = sized("data", size, samples);
        const info = inspect(container(id, ds64(100), fmt(), open, list));
        expect(info).toMatchObject({ frames: 50, doubts: [] });
      }
    }
  });

  it("is overruled by what 32 bits say and the file holds", () => {
    const info = inspect(container("RF64", ds64(40), fmt(), data, list));
    expect(info).toMatchObject({ frames: 50, doubts: [] });
  });

  it("that is more than the file holds is that of a file cut short", () => {
    const open = sized("data", 0xffff_ffff, samples);
    expect(inspect(container("RF64", ds64(5000), fmt(), open))).toMatchObject({
      frames: 50,
      doubts: [{ code: "samples-cut-short", promisedBytes: 5000 }],
    });
  });
});
