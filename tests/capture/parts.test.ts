import { describe, expect, it } from "vitest";
import { againstNumbers } from "../../src/capture/parts.js";

describe("files against their numbers", () => {
  it("are those that count on from a file behind them", () => {
    expect(againstNumbers(["ev_002.wav", "ev_001.wav"])).toEqual([["ev_002.wav", "ev_001.wav"]]);
    expect(againstNumbers(["a 1.wav", "a 3.wav", "a 2.wav"])).toEqual([["a 3.wav", "a 2.wav"]]);
    expect(againstNumbers(["a 1.wav", "a 2.wav", "b 1.wav"])).toEqual([]);
  });

  it("are none where a recorder's counter began anew", () => {
    expect(againstNumbers(["REC9998.wav", "REC9999.wav", "REC0001.wav", "REC0002.wav"])).toEqual(
      [],
    );
    expect(againstNumbers(["REC9999.wav", "REC0002.wav", "REC0001.wav"])).toEqual([
      ["REC0002.wav", "REC0001.wav"],
    ]);
    expect(againstNumbers(["REC9999.wav", "REC9998.wav"])).toEqual([
      ["REC9999.wav", "REC9998.wav"],
    ]);
  });
});
