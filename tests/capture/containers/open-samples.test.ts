import { closeSync, ftruncateSync, openSync, truncateSync, writeSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../../src/capture/containers/open-samples.js";
import {
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
} from "../wav-bytes.js";

const save = scratchFolder();
const fixtures = fileURLToPath(new URL("../../../fixtures/wav/", import.meta.url));

async function readAll(file: string, channel: number): Promise<number[]> {
  const info = inspectRecording(file);
  const reader = await openSamples(info);
  const out = new Float64Array(info.frames);
  expect(reader.read(0, info.frames + 10, channel, out)).toBe(info.frames);
  reader.close();
  return [...out];
}

describe("openSamples", () => {
  // fixtures/wav/README.md: frame i of channel c holds ((7i + 13c) mod 128 − 64) / 64.
  it.each([
    "int16-mono-44100.wav",
    "int16-stereo-48000.wav",
    "int24-mono-48000-odd.wav",
    "int24-mono-96000-plain.wav",
    "int24-8-channels-96000.wav",
    "int32-stereo-96000.wav",
    "int32-mono-88200-plain.wav",
    "float32-mono-192000.wav",
    "float64-stereo-176400.wav",
    "float32-3-channels-48000.wav",
  ])("decodes every sample of %s exactly", async (name) => {
    const { channels, frames } = inspectRecording(join(fixtures, name));
    for (let c = 0; c < channels; c++) {
      const expected = Array.from(
        { length: frames },
        (_, i) => (((7 * i + 13 * c) % 128) - 64) / 64,
      );
      expect(await readAll(join(fixtures, name), c)).toEqual(expected);
    }
  });

  it("decodes integers as n / 2^(bits−1), to the ends of their range", async () => {
    const int24 = Uint8Array.of(0xff, 0xff, 0x7f, 0, 0, 0x80, 1, 0, 0, 0xff, 0xff, 0xff);
    expect(await readAll(save("24.wav", wav(fmt({ bits: 24 }), chunk("data", int24))), 0)).toEqual([
      (2 ** 23 - 1) / 2 ** 23,
      -1,
      2 ** -23,
      -(2 ** -23),
    ]);
    const int16 = int16s(32_767, -32_768, 1);
    expect(await readAll(save("16.wav", wav(fmt(), chunk("data", int16))), 0)).toEqual([
      32_767 / 32_768,
      -1,
      2 ** -15,
    ]);
    const int32 = u32(0x7fff_ffff, 0x8000_0000, 1);
    expect(await readAll(save("32.wav", wav(fmt({ bits: 32 }), chunk("data", int32))), 0)).toEqual([
      (2 ** 31 - 1) / 2 ** 31,
      -1,
      2 ** -31,
    ]);
  });

  it("counts samples that are not numbers and hands out 0 for them", async () => {
    for (const bits of [32, 64]) {
      const values = [0.5, Number.NaN, Number.POSITIVE_INFINITY, -1.5, Number.NEGATIVE_INFINITY];
      const floats = bits === 32 ? Float32Array.from(values) : Float64Array.from(values);
      const data = chunk("data", new Uint8Array(floats.buffer));
      const reader = await openSamples(
        inspectRecording(save("nan.wav", wav(fmt({ tag: 3, bits }), data))),
      );
      const out = new Float64Array(5).fill(9);
      reader.read(0, 5, 0, out);
      expect([...out]).toEqual([0.5, 0, 0, -1.5, 0]);
      expect(reader.badSamples).toBe(3);
      reader.read(3, 2, 0, out);
      expect(reader.badSamples).toBe(4);
      reader.close();
    }
  });

  // 40 dB over full scale is a factor of 10^(40/20) = 100, which both formats hold exactly.
  it("takes finite samples that no converter gives for none, and those above full scale for some", async () => {
    for (const bits of [32, 64]) {
      const values = [10, -100, 100, 101, -1e30, bits === 32 ? 3e38 : 1e300];
      const floats = bits === 32 ? Float32Array.from(values) : Float64Array.from(values);
      const data = chunk("data", new Uint8Array(floats.buffer));
      const reader = await openSamples(
        inspectRecording(save("huge.wav", wav(fmt({ tag: 3, bits }), data))),
      );
      const out = new Float64Array(6).fill(9);
      reader.read(0, 6, 0, out);
      expect([...out]).toEqual([10, -100, 100, 0, 0, 0]);
      expect(reader.badSamples).toBe(3);
      reader.close();
    }
  });

  it("gives the same in any order, size of block and channel, across the ends of its buffer", async () => {
    const channels = 2;
    const frames = 400_000;
    const bytes = new Uint8Array(frames * channels * 3);
    for (let i = 0; i < frames * channels; i++) {
      bytes[3 * i] = i;
      bytes[3 * i + 1] = i >> 8;
      bytes[3 * i + 2] = i >> 16;
    }
    const header = join8(
      fmt({ channels, bits: 24 }),
      sized("data", bytes.length, new Uint8Array(0)),
    );
    const whole = Buffer.concat([wav(header), bytes]);
    const reader = await openSamples(inspectRecording(save("blocks.wav", whole)));
    const out = new Float64Array(frames);
    const wanted = [
      [0, 65_536],
      [65_536, 65_536],
      [174_000, 2000],
      [174_500, 1],
      [10, 300_000],
      [399_990, 100],
      [5, 65_536],
      [400_000, 10],
      [500_000, 10],
    ];
    for (const [first, count] of wanted) {
      for (const channel of [0, 1, 0]) {
        const got = reader.read(first, count, channel, out);
        expect(got).toBe(Math.max(0, Math.min(count, frames - first)));
        let wrong = 0;
        for (let i = 0; i < got; i++) {
          if (out[i] * 2 ** 23 !== (first + i) * channels + channel) wrong++;
        }
        expect(wrong).toBe(0);
      }
    }
    reader.close();
  });

  it("reads beyond 4 GiB", async () => {
    const file = join(dirname(save("x", new Uint8Array(1))), "long.wav");
    const dataBytes = 5 * 2 ** 30;
    const ds64 = chunk(
      "ds64",
      join8(u64(dataBytes + 100), u64(dataBytes), u64(dataBytes / 2), u32(0)),
    );
    const head = container("RF64", ds64, fmt(), sized("data", 0xffff_ffff, new Uint8Array(0)));
    const fd = openSync(file, "w");
    writeSync(fd, head);
    writeSync(fd, int16s(100, 200, 300), 0, 6, head.length + dataBytes - 6);
    ftruncateSync(fd, head.length + dataBytes);
    closeSync(fd);
    const info = inspectRecording(file);
    expect(info.frames).toBe(dataBytes / 2);
    const reader = await openSamples(info);
    const out = new Float64Array(8);
    expect(reader.read(info.frames - 4, 8, 0, out)).toBe(4);
    expect([...out.subarray(0, 4)].map((x) => x * 32_768)).toEqual([0, 100, 200, 300]);
    reader.close();
    truncateSync(file, 0);
  });

  it("reports a file that becomes shorter meanwhile", async () => {
    const file = save("shrinks.wav", wav(fmt(), chunk("data", int16s(1, 2, 3, 4))));
    const reader = await openSamples(inspectRecording(file));
    truncateSync(file, 46);
    const error = thrownBy(() => reader.read(0, 4, 0, new Float64Array(4)));
    expect(error).toMatchObject({
      code: "recording-damaged",
      message: expect.stringMatching(/shorter/),
    });
    reader.close();
  });
});
