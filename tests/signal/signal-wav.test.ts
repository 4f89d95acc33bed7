import { describe, expect, it } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import { formatSegment, parseHeading, parseSegment } from "../../src/signal/labels.js";
import {
  bands,
  buildSignalTable,
  getProfileVersion,
  profiles,
  sampleRates,
} from "../../src/signal/signal-table.js";
import { encodeSignalWav, formatSignalId, signalFormats } from "../../src/signal/signal-wav.js";
import { synthesise } from "../../src/signal/synthesise.js";

interface Chunk {
  readonly id: string;
  readonly at: number;
  readonly body: DataView;
}

/** The chunks of a RIFF file by the letter of the specification: even places, sizes that add up. */
function chunksOf(bytes: Uint8Array, from = 12): Chunk[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const chunks: Chunk[] = [];
  let at = from;
  while (at < bytes.length) {
    expect(at % 2).toBe(0);
    const size = view.getUint32(at + 4, true);
    expect(at + 8 + size).toBeLessThanOrEqual(bytes.length);
    const body = new DataView(bytes.buffer, bytes.byteOffset + at + 8, size);
    chunks.push({ id: text(view, at, 4), at, body });
    at += 8 + size + (size % 2);
  }
  expect(at).toBe(bytes.length);
  return chunks;
}

function text(view: DataView, at: number, size: number): string {
  return String.fromCharCode(...Array.from({ length: size }, (_, k) => view.getUint8(at + k)));
}

/** A text field of fixed size: characters, then nothing but NULs. */
function field(view: DataView, at: number, size: number): string {
  const [, used, rest] = /^([^\0]*)(\0*)$/.exec(text(view, at, size)) ?? [];
  expect(used.length + rest.length).toBe(size);
  return used;
}

function body(chunks: readonly Chunk[], id: string): DataView {
  const found = chunks.filter((chunk) => chunk.id === id);
  expect(found).toHaveLength(1);
  return found[0].body;
}

const table = buildSignalTable("quick", "base");

describe("signalWav", () => {
  it("writes RIFF chunks whose sizes add up, the identity before the samples", () => {
    const bytes = encodeSignalWav(table, 48_000, "int24");
    const view = new DataView(bytes.buffer);
    expect([text(view, 0, 4), view.getUint32(4, true), text(view, 8, 4)]).toEqual([
      "RIFF",
      bytes.length - 8,
      "WAVE",
    ]);
    expect(chunksOf(bytes).map(({ id }) => id)).toEqual(["bext", "fmt ", "data", "cue ", "LIST"]);
  });

  it.each(signalFormats)("says in the format chunk what %s samples are", (format) => {
    const chunks = chunksOf(encodeSignalWav(table, 48_000, format));
    const fmt = body(chunks, "fmt ");
    const bits = Number(format.replace(/\D/g, ""));
    const isFloat = format === "float32";
    expect(fmt.byteLength).toBe(isFloat ? 18 : 16);
    expect(fmt.getUint16(0, true)).toBe(isFloat ? 3 : 1);
    expect(fmt.getUint16(2, true)).toBe(1);
    expect(fmt.getUint32(4, true)).toBe(48_000);
    expect(fmt.getUint32(8, true)).toBe((48_000 * bits) / 8);
    expect(fmt.getUint16(12, true)).toBe(bits / 8);
    expect(fmt.getUint16(14, true)).toBe(bits);
    const frames = body(chunks, "data").byteLength / (bits / 8);
    expect(frames).toBe(2 * Math.ceil(Math.round(table.lengthS * 48_000) / 2));
    if (isFloat) expect(body(chunks, "fact").getUint32(0, true)).toBe(frames);
  });

  it("holds the synthesised signal", () => {
    const data = body(chunksOf(encodeSignalWav(table, 44_100, "float32")), "data");
    const expected = synthesise(table, 44_100);
    let wrong = 0;
    for (let i = 0; i < expected.length; i++) {
      if (data.getFloat32(4 * i, true) !== Math.fround(expected[i])) wrong++;
    }
    expect(wrong).toBe(0);
  });

  // Offsets and sizes of the fields: EBU Tech 3285, version 1.
  it("fills bext with plain words, the originator and the signal's name, and no clock", () => {
    const bext = body(chunksOf(encodeSignalWav(table, 48_000, "int16")), "bext");
    const id = formatSignalId(table, 48_000, "int16");
    expect(field(bext, 0, 256)).toMatch(new RegExp(`^Test signal .*${id}.*mute the monitors`));
    expect(field(bext, 256, 32)).toBe("deskround");
    expect(field(bext, 288, 32)).toBe(id);
    expect(field(bext, 320, 10)).toBe("");
    expect(field(bext, 330, 8)).toBe("");
    expect(bext.getBigUint64(338, true)).toBe(0n);
    expect(bext.getUint16(346, true)).toBe(1);
    expect(field(bext, 348, 64 + 190)).toBe("");
    // EBU R 98: A, F, W, M, T in this order, ended by CR LF.
    expect(text(bext, 602, bext.byteLength - 602)).toMatch(
      /^A=PCM,F=48000,W=16,M=mono,T=[^,\r\n]*\r\n$/,
    );
  });

  it("puts a cue at each segment's first sample, its label ended by NUL", () => {
    const chunks = chunksOf(encodeSignalWav(table, 44_100, "int24"));
    const cue = body(chunks, "cue ");
    expect(cue.getUint32(0, true)).toBe(1 + table.segments.length);
    expect(cue.byteLength).toBe(4 + 24 * (1 + table.segments.length));
    const list = body(chunks, "LIST");
    expect(text(list, 0, 4)).toBe("adtl");
    const inside = new Uint8Array(list.buffer, list.byteOffset, list.byteLength);
    const labels = chunksOf(inside, 4);
    const heading = labels[0].body;
    expect(text(heading, 4, heading.byteLength - 4)).toMatch(/^deskround-signal version=\d+ .*\0$/);
    table.segments.forEach((segment, k) => {
      const at = 4 + 24 * (k + 1);
      const sample = Math.round(segment.startS * 44_100);
      expect(cue.getUint32(at, true)).toBe(k + 2);
      expect(cue.getUint32(at + 4, true)).toBe(sample);
      expect(text(cue, at + 8, 4)).toBe("data");
      expect(cue.getUint32(at + 12, true)).toBe(0);
      expect(cue.getUint32(at + 16, true)).toBe(0);
      expect(cue.getUint32(at + 20, true)).toBe(sample);
      const label = labels[k + 1];
      expect(label.id).toBe("labl");
      expect(label.body.getUint32(0, true)).toBe(k + 2);
      expect(text(label.body, 4, label.body.byteLength - 4)).toBe(`${formatSegment(segment)}\0`);
    });
  });

  it("gives the same bytes each time", () => {
    const again = () => Buffer.from(encodeSignalWav(table, 96_000, "int16"));
    expect(again().equals(again())).toBe(true);
  });

  it("refuses rates that the signal is not made for", () => {
    expect(() => encodeSignalWav(table, 32_000, "int16")).toThrow(DeskroundError);
    expect(() => encodeSignalWav(buildSignalTable("quick", "wide"), 48_000, "int16")).toThrow(
      /88\.2 kHz/,
    );
  });
});

describe("signalId", () => {
  it("is told apart and fits the 32 characters of OriginatorReference", () => {
    const ids = profiles.flatMap((profile) =>
      bands.flatMap((band) =>
        sampleRates.flatMap((rate) =>
          signalFormats.map((format) =>
            formatSignalId(buildSignalTable(profile, band), rate, format),
          ),
        ),
      ),
    );
    expect(new Set(ids).size).toBe(ids.length);
    expect(Math.max(...ids.map((id) => id.length))).toBeLessThanOrEqual(32);
    expect(formatSignalId(table, 48_000, "int24")).toBe(
      `v${getProfileVersion("quick")}-quick-base-48000-int24`,
    );
  });
});

describe("segment labels", () => {
  it("give back every segment of every signal", () => {
    for (const profile of profiles) {
      for (const band of bands) {
        for (const segment of buildSignalTable(profile, band).segments) {
          expect(parseSegment(formatSegment(segment))).toEqual(segment);
        }
      }
    }
  });

  it("of other programs are not ours", () => {
    for (const label of ["", "Verse 2", "a=b", "kind", "take one two"]) {
      expect(parseSegment(label)).toBeUndefined();
      expect(parseHeading(label)).toBeUndefined();
    }
  });

  it("that are damaged are refused", () => {
    for (const label of [
      "tone kind=tone start=1 length=2 level=-18",
      "tone kind=tone start=1 length=x frequency=1000 level=-18",
      "tone kind=tone start=1e999 length=1 frequency=1000 level=-18",
      "steps kind=steps start=1 length=2 frequency=1000 step=1 levels=1,,2",
      "marker kind=marker start=1 length=2 which=middle spacing=1 level=1",
      "other kind=other start=1 length=2",
    ]) {
      expect(() => parseSegment(label)).toThrow(SyntaxError);
    }
  });
});
