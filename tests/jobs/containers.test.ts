import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import type { Round } from "../../src/history/types.js";
import { analyze } from "../../src/jobs/analyze.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeSignalWav } from "../../src/signal/signal-wav.js";
import { encodeAiff, encodeFlac, readPlainWav } from "../helpers/containers.js";
import { slow } from "../helpers/slow.js";
import { answer, joined, newDesk, pause, quickS, writeCapture } from "./recordings.js";

const rate = 48_000;
const desk = newDesk(2);
afterAll(() => rmSync(desk, { recursive: true, force: true }));

const evening = joined(
  pause(0.5, rate),
  answer(rate, { gain: 0.8, seed: 1 }),
  pause(1, rate),
  answer(rate, { gain: 0.7, seed: 2 }),
  pause(0.5, rate),
);

/** A capture in each kind of container, one folder each. */
function inAll(name: string, channels: readonly Float64Array[], format: "int16" | "int24") {
  const folders = ["wav", "flac", "aiff"].map((kind) => join(desk, `${name} ${kind}`));
  for (const folder of folders) mkdirSync(folder);
  const wav = writeCapture(join(folders[0], "evening.wav"), channels, rate, format);
  const pcm = readPlainWav(readFileSync(wav));
  const flac = join(folders[1], "evening.flac");
  writeFileSync(flac, encodeFlac(pcm));
  const aiff = join(folders[2], "evening.aiff");
  writeFileSync(aiff, encodeAiff(pcm));
  return { wav, flac, aiff };
}

function preview(capture: string): Promise<Round> {
  return analyze({ desk, captures: [capture], silent: [], keep: "preview" }, () => {});
}

/** All of a round but what names the file, its bytes and the moment. */
function bare(round: Round): string {
  return JSON.stringify({ ...round, date: "" })
    .replace(/"sha256":"[0-9a-f]+"/g, '"sha256":""')
    .replace(/"file":"[^"]+"/g, '"file":""');
}

describe("a round", () => {
  for (const [format, how] of [
    ["int16", slow],
    ["int24", {}],
  ] as const) {
    it(`is the same from WAV, FLAC and AIFF of ${format}, to the last bit`, how, async () => {
      const other = evening.map((x) => x / 2);
      const { wav, flac, aiff } = inAll(format, [evening, other], format);
      const round = await preview(wav);
      expect(round.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
      // Compared as texts, so that a difference is not printed in all its length.
      expect(bare(await preview(flac)) === bare(round)).toBe(true);
      expect(bare(await preview(aiff)) === bare(round)).toBe(true);
    });
  }
});

describe("a damaged FLAC capture", () => {
  it("spoils the return that the damage lies in, and no other", async () => {
    const { flac } = inAll("damage", [evening], "int24");
    const bytes = readFileSync(flac);
    // Samples take the same room everywhere: half a second and half of the first return.
    bytes[Math.round((bytes.length * (0.5 + quickS / 2)) / (2 + 2 * quickS))] ^= 1;
    writeFileSync(flac, bytes);
    const { paths, warnings } = await preview(flac);
    expect(JSON.stringify(paths[0])).toContain("lost in a damaged file");
    expect(paths.map(({ status }) => status)).toEqual(["unusable", "measured"]);
    expect(warnings.join()).toMatch(/4096 sample frames between .* are damaged/);
  });

  it("is doubted where every part is sound, but not the whole", async () => {
    const { flac } = inAll("altered", [evening], "int16");
    const bytes = readFileSync(flac);
    bytes[30] ^= 1;
    writeFileSync(flac, bytes);
    const { warnings } = await preview(flac);
    expect(warnings.join()).toContain("the checksum over all of them fails");
  });
});

describe("the test signal saved in another container", () => {
  it("is known by its labels and its samples, and left out", async () => {
    const table = buildSignalTable("quick", "base");
    const wav = readPlainSignal(encodeSignalWav(table, rate, "int24"));
    const file = join(desk, "signal.flac");
    writeFileSync(file, encodeFlac(wav.pcm, wav.kept));
    await expect(preview(file)).rejects.toThrow("is the test signal itself");
    // With one sample more or less it is a recording like any other.
    wav.pcm.data[3000] ^= 1;
    writeFileSync(file, encodeFlac(wav.pcm, wav.kept));
    const { paths } = await preview(file);
    expect(paths[0].status).toBe("measured");
  });
});

/** The samples of the signal's file, and its other chunks as an encoder keeps them. */
function readPlainSignal(bytes: Uint8Array) {
  const file = Buffer.from(bytes);
  const kept: Buffer[] = [];
  let data: Buffer = Buffer.alloc(0);
  for (let at = 12; at + 8 <= file.length; ) {
    const size = file.readUInt32LE(at + 4);
    const chunk = file.subarray(at, at + 8 + size);
    if (file.toString("latin1", at, at + 4) === "data") data = Buffer.from(chunk.subarray(8));
    else kept.push(Buffer.concat([Buffer.from("riff"), chunk]));
    at += 8 + size + (size % 2);
  }
  return { pcm: { channels: 1, sampleRate: rate, bits: 24, data }, kept };
}
