import { describe, expect, it } from "vitest";
import { computeCrc8, computeCrc16 } from "../../../../src/capture/containers/flac/crc.js";

// Check values of CRC-8/SMBUS and CRC-16/UMTS, the same polynomials without reflection and with 0 at
// both ends, for the nine digits: Catalogue of parametrised CRC algorithms (G. Cook, RevEng).
const digits = new TextEncoder().encode("123456789");

describe("the checksums of FLAC", () => {
  it("have the check values of the catalogue", () => {
    expect(computeCrc8(digits, 0, 9)).toBe(0xf4);
    expect(computeCrc16(digits, 0, 9)).toBe(0xfee8);
  });

  it("are 0 over bytes that end in their own checksum", () => {
    expect(computeCrc16(Uint8Array.of(...digits, 0xfe, 0xe8), 0, 11)).toBe(0);
    expect(computeCrc8(Uint8Array.of(...digits, 0xf4), 0, 10)).toBe(0);
  });

  it("go on from what was summed before, wherever it is cut", () => {
    const bytes = Uint8Array.from({ length: 100 }, (_, i) => (i * i) & 255);
    const whole = computeCrc16(bytes, 0, 100);
    for (const cut of [0, 1, 7, 8, 9, 50, 99, 100]) {
      expect(computeCrc16(bytes, cut, 100, computeCrc16(bytes, 0, cut))).toBe(whole);
    }
  });
});
