import { describe, expect, it } from "vitest";
import { findExchangedInputs } from "../../../src/history/order/find-exchanged-inputs.js";
import type { RoundPath } from "../../../src/history/types.js";

/** Paths of an input that hiss about so much. */
const paths = (input: string, hissDb: number): readonly RoundPath[] =>
  Array.from({ length: 6 }, (_, k) => ({
    path: `${k + 1}/${input}`,
    strip: `${k + 1}`,
    input,
    family: input,
    status: "measured",
    readings: { hiss: { value: hissDb + 0.3 * (k % 3), unit: "dBFS", uncertainty: 0.1 } },
    absent: {},
    curves: {},
    oddness: 0,
    findings: [],
    causes: [],
  }));

const inputs = [
  { name: "mic", nominalDbu: -40 },
  { name: "line", nominalDbu: 4 },
  { name: "tape", nominalDbu: 4 },
];

describe("findExchangedInputs", () => {
  const played = (all: readonly RoundPath[], fileOf: (input: string) => string) =>
    all.map(({ path, input }) => ({ path, file: fileOf(input) }));

  it("tells two recordings that were named the wrong way round", () => {
    const all = [...paths("mic", -104), ...paths("line", -92)];
    const files = (input: string) => (input === "mic" ? "a.wav" : "b.wav");
    expect(findExchangedInputs(inputs, all, played(all, files))).toEqual([
      {
        code: "files-exchanged",
        files: ["a.wav", "b.wav"],
        likelier: ["b.wav", "a.wav"],
        affected: 12,
      },
    ]);
  });

  it("tells inputs that were patched the wrong way round in one recording", () => {
    const all = [...paths("mic", -104), ...paths("line", -92), ...paths("tape", -104)];
    expect(
      findExchangedInputs(
        inputs,
        all,
        played(all, () => "a.wav"),
      ),
    ).toEqual([{ code: "inputs-exchanged", inputs: ["mic", "line"], affected: 12 }]);
  });

  it("names inputs, not recordings, where more than two recordings were made", () => {
    const all = [...paths("mic", -104), ...paths("line", -92), ...paths("tape", -104)];
    const files = (input: string) => `${input}.wav`;
    expect(findExchangedInputs(inputs, all, played(all, files))).toEqual([
      { code: "inputs-exchanged", inputs: ["mic", "line"], affected: 12 },
    ]);
  });

  it("says nothing where what amplifies more is noisier, nor of inputs that are fed alike", () => {
    const right = [...paths("mic", -92), ...paths("line", -104)];
    expect(
      findExchangedInputs(
        inputs,
        right,
        played(right, () => "a.wav"),
      ),
    ).toEqual([]);
    const alike = [...paths("line", -92), ...paths("tape", -104)];
    expect(
      findExchangedInputs(
        inputs,
        alike,
        played(alike, () => "a.wav"),
      ),
    ).toEqual([]);
    const near = [...paths("mic", -104), ...paths("line", -100)];
    expect(
      findExchangedInputs(
        inputs,
        near,
        played(near, () => "a.wav"),
      ),
    ).toEqual([]);
  });
});
