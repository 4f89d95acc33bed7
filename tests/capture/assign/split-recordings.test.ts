import { describe, expect, it } from "vitest";
import { findOutOfSequence } from "../../../src/capture/assign/split-recordings.js";

describe("files against their numbers", () => {
  it("are those that count on from a file behind them", () => {
    expect(findOutOfSequence(["ev_002.wav", "ev_001.wav"])).toEqual([["ev_002.wav", "ev_001.wav"]]);
    expect(findOutOfSequence(["a 1.wav", "a 3.wav", "a 2.wav"])).toEqual([["a 3.wav", "a 2.wav"]]);
    expect(findOutOfSequence(["a 1.wav", "a 2.wav", "b 1.wav"])).toEqual([]);
  });

  it("are absent where a recorder's counter started again", () => {
    expect(findOutOfSequence(["REC9998.wav", "REC9999.wav", "REC0001.wav", "REC0002.wav"])).toEqual(
      [],
    );
    expect(findOutOfSequence(["REC9999.wav", "REC0002.wav", "REC0001.wav"])).toEqual([
      ["REC0002.wav", "REC0001.wav"],
    ]);
    expect(findOutOfSequence(["REC9999.wav", "REC9998.wav"])).toEqual([
      ["REC9999.wav", "REC9998.wav"],
    ]);
  });
});
