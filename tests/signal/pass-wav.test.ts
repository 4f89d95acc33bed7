import { describe, expect, it } from "vitest";
import { getOutput, getOutputSteps, mostOutputs } from "../../src/signal/outputs.js";
import { buildPassSignal, computeTurnStartS } from "../../src/signal/pass-signal.js";
import { computePassFrames, encodePassWav } from "../../src/signal/pass-wav.js";
import {
  bands,
  buildSignalTable,
  computeMarkerSpacing,
  profiles,
} from "../../src/signal/signal-table.js";
import { synthesise } from "../../src/signal/synthesise.js";

const rate = 48_000;

function bytesOf(pieces: Iterable<Uint8Array>): DataView {
  const all = Buffer.concat([...pieces]);
  return new DataView(all.buffer, all.byteOffset, all.length);
}

describe("the markers of outputs", () => {
  it("are no other output's, and not those of a signal played alone", () => {
    const names = new Set<string>();
    for (let output = 0; output <= mostOutputs; output++) {
      const { start, end } = output === 0 ? { start: 0, end: 0 } : getOutputSteps(output);
      names.add(`${start} ${end}`);
      expect(getOutput(start, end)).toBe(output === 0 ? undefined : output);
    }
    expect(names.size).toBe(16);
  });

  it("lie further apart than the slack of a spacing, in every profile and band", () => {
    const spacings = profiles
      .flatMap((profile) =>
        bands.flatMap((band) =>
          [0, 1, 2, 3].map((step) => computeMarkerSpacing(profile, band, undefined, step)),
        ),
      )
      .sort((a, b) => a - b);
    for (let k = 1; k < spacings.length; k++) {
      // Clocks and paths move a spacing by up to 1.2 ms either way.
      expect(spacings[k] - spacings[k - 1]).toBeGreaterThan(0.0024);
    }
    // The second chirp, of 150 ms, ends within the marker's half second.
    expect(Math.max(...spacings) + 0.15).toBeLessThan(0.5);
  });

  it("are all that an output's signal differs in", () => {
    const plain = buildSignalTable("standard", "base");
    const own = buildSignalTable("standard", "base", undefined, undefined, 7);
    expect(own.lengthS).toBe(plain.lengthS);
    const without = ({ segments }: typeof plain) =>
      segments.filter(({ kind }) => kind !== "marker");
    expect(without(own)).toEqual(without(plain));
  });
});

describe("the file of a pass", () => {
  it.each([
    ["turns", 3],
    ["together", 4],
  ] as const)("plays each output on its channel in its turn (%s)", (form, count) => {
    const used = Array.from({ length: count }, (_, k) => k !== 1);
    const pass = buildPassSignal("quick", "base", used, form);
    const view = bytesOf(encodePassWav(pass, rate, "int24"));
    // EBU Tech 3285: the `bext` chunk comes first; WAVE_FORMAT_EXTENSIBLE where there are more than
    // two channels, with a mask of 0 as they belong to no loudspeakers.
    const chunk = (id: string) => {
      for (let at = 12; at < view.byteLength; ) {
        const name = String.fromCharCode(...[0, 1, 2, 3].map((k) => view.getUint8(at + k)));
        const size = view.getUint32(at + 4, true);
        if (name === id) return { at: at + 8, size };
        at += 8 + size + (size % 2);
      }
      throw new Error(`no ${id}`);
    };
    expect(view.getUint32(4, true)).toBe(view.byteLength - 8);
    const format = chunk("fmt ");
    expect(view.getUint16(format.at, true)).toBe(0xfffe);
    expect(view.getUint16(format.at + 2, true)).toBe(count);
    expect(view.getUint32(format.at + 20, true)).toBe(0);
    // The sub-format: PCM, in the registered GUID of wave formats.
    const guid = Array.from({ length: 16 }, (_, k) => view.getUint8(format.at + 24 + k));
    expect(guid).toEqual([1, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]);
    const data = chunk("data");
    const frames = computePassFrames(pass, rate);
    expect(data.size).toBe(frames * count * 3);
    const sampleAt = (frame: number, channel: number) => {
      const at = data.at + (frame * count + channel) * 3;
      return (view.getUint16(at, true) + 65_536 * view.getInt8(at + 2)) / 2 ** 23;
    };
    for (const [channel, turn] of pass.outputs.entries()) {
      const own = turn === undefined ? new Float64Array(0) : synthesise(turn.table, rate);
      const from = turn === undefined ? 0 : turn.startS * rate;
      for (let frame = 0; frame < frames; frame += 97) {
        // Where its start falls between two samples the turn is made there, not moved.
        if (from % 1 !== 0 && turn !== undefined) continue;
        // Dither of two steps, and rounding.
        expect(Math.abs(sampleAt(frame, channel) - (own[frame - from] ?? 0))).toBeLessThanOrEqual(
          1.5 / 2 ** 23,
        );
      }
    }
  });

  it("is float where it says so, readable as that", () => {
    const pass = buildPassSignal("quick", "base", [true, true, true], "together");
    const view = bytesOf(encodePassWav(pass, rate, "float32"));
    // The `fmt ` chunk follows `bext`: its sub-format is 3, IEEE float (RFC 2361).
    const at = Buffer.from(view.buffer, view.byteOffset, view.byteLength).indexOf("fmt ") + 8;
    expect([view.getUint16(at, true), view.getUint16(at + 24, true)]).toEqual([0xfffe, 3]);
  });

  it("plays every third output at once, neighbours never", () => {
    const { outputs } = buildPassSignal("quick", "base", new Array(15).fill(true), "together");
    for (const [k, turn] of outputs.entries()) {
      for (const [j, other] of outputs.entries()) {
        if (turn === undefined || other === undefined || k === j) continue;
        const apart = Math.abs(turn.startS - other.startS);
        if ((k - j) % 3 === 0) expect(apart).toBeLessThan(0.05);
        else expect(apart).toBeGreaterThan(turn.table.lengthS);
      }
    }
  });

  it("begins with its first turn, whichever output that is", () => {
    const pass = buildPassSignal("quick", "base", [false, false, true, true], "turns");
    expect(pass.outputs[2]?.startS).toBe(0);
    const lengthS = pass.outputs[2]?.table.lengthS ?? 0;
    expect(pass.outputs[3]?.startS).toBeCloseTo(
      computeTurnStartS("turns", 4, lengthS) - computeTurnStartS("turns", 3, lengthS),
      9,
    );
  });

  it("refuses more outputs than can be told apart, none, and a controls pass", () => {
    const make =
      (count: number, profile: "quick" | "controls" = "quick") =>
      () =>
        buildPassSignal(profile, "base", new Array(count).fill(true), "turns");
    expect(make(16)).toThrow(/1 to 15 outputs/);
    expect(() => buildPassSignal("quick", "base", [false], "turns")).toThrow(/1 to 15 outputs/);
    expect(make(2, "controls")).toThrow(/one output/);
  });
});
