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

describe("how sure it is that two inputs were taken for each other", () => {
  /** Paths of an input that hiss so much each. */
  const hissing = (input: string, ...levels: readonly number[]) =>
    levels.map((value, k): RoundPath => {
      const [first] = paths(input, 0);
      const readings = { hiss: { value, unit: "dBFS", uncertainty: 0.1 } };
      return { ...first, path: `${k + 1}/${input}`, strip: `${k + 1}`, readings };
    });
  const find = (
    mic: readonly number[],
    line: readonly number[],
    fed: readonly [number, number] = [-40, 4],
  ) => {
    const all = [...hissing("mic", ...mic), ...hissing("line", ...line)];
    const own = [
      { name: "mic", nominalDbu: fed[0] },
      { name: "line", nominalDbu: fed[1] },
    ];
    const played = all.map(({ path }) => ({ path, file: "a.wav" }));
    return findExchangedInputs(own, all, played).length;
  };
  const quiet = [-100, -100, -100];
  const loud = [-90, -90, -90];

  it("asks for 20 dB between what both are fed with", () => {
    expect(find(quiet, loud, [-16, 4])).toBe(1);
    expect(find(quiet, loud, [-15.9, 4])).toBe(0);
  });

  it("asks for 6 dB between their hiss", () => {
    expect(find(quiet, [-94, -94, -94])).toBe(1);
    expect(find(quiet, [-94.1, -94.1, -94.1])).toBe(0);
  });

  it("asks for three paths of each", () => {
    expect(find(quiet, loud)).toBe(1);
    expect(find(quiet.slice(1), loud)).toBe(0);
    expect(find(quiet, loud.slice(1))).toBe(0);
  });

  it("asks for four of five of the one to be louder than the middle of the other", () => {
    expect(find(quiet, [-90, -90, -90, -90, -101])).toBe(1);
    expect(find(quiet, [-90, -90, -90, -90, -100])).toBe(1);
    expect(find(quiet, [-90, -90, -90, -101, -101])).toBe(0);
    expect(find(quiet, [-90, -90, -90, -100, -100])).toBe(0);
  });

  it("counts what was played and has hiss", () => {
    const all = [...hissing("mic", ...quiet), ...hissing("line", ...loud)];
    const played = all.map(({ path }) => ({ path, file: "a.wav" }));
    expect(findExchangedInputs(inputs, all, played)).toHaveLength(1);
    expect(findExchangedInputs(inputs, all, played.slice(1))).toEqual([]);
    const [first, ...others] = all;
    const mute = { ...first, readings: {} };
    expect(findExchangedInputs(inputs, [mute, ...others], played)).toEqual([]);
  });

  it("names inputs where the two recordings hold not one each", () => {
    const all = [...hissing("mic", ...quiet), ...hissing("line", ...loud)];
    const code = (fileOf: (path: string) => string, more: readonly RoundPath[] = []) =>
      findExchangedInputs(
        inputs,
        all,
        [...all, ...more].map(({ path }) => ({ path, file: fileOf(path) })),
      ).map((one) => one.code);
    const byInput = (path: string) => (path.endsWith("mic") ? "a.wav" : "b.wav");
    expect(code(byInput)).toEqual(["files-exchanged"]);
    expect(code((path) => (path === "1/mic" ? "b.wav" : byInput(path)))).toEqual([
      "inputs-exchanged",
    ]);
    expect(code((path) => (path === "1/line" ? "a.wav" : byInput(path)))).toEqual([
      "inputs-exchanged",
    ]);
    // Both in one, a third input in the other.
    const tape = hissing("tape", -100);
    expect(code((path) => (path.endsWith("tape") ? "b.wav" : "a.wav"), tape)).toEqual([
      "inputs-exchanged",
    ]);
  });
});
