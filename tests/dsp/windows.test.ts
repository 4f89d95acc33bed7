import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { computeKaiserBeta, hann, kaiser } from "../../src/dsp/windows.js";

// Source: scipy.signal; tests/reference/scipy/windows.py made the file.
const scipy = JSON.parse(
  readFileSync(new URL("../reference/scipy/windows.json", import.meta.url), "utf8"),
);

function expectClose(actual: Float64Array, expected: readonly number[]): void {
  expect(actual).toHaveLength(expected.length);
  expected.forEach((w, n) => {
    expect(actual[n]).toBeCloseTo(w, 12);
  });
}

describe("hann", () => {
  it.each([2, 7, 16])("of %i samples is scipy's periodic window", (size) => {
    expectClose(hann(size), scipy.hann[size]);
  });

  it("has a power of 3/8 of its length", () => {
    // closed form: the mean of (½ − ½·cos x)² over whole turns is 1/4 + 1/8
    const squares = hann(64).reduce((sum, w) => sum + w * w, 0);
    expect(squares).toBeCloseTo((3 / 8) * 64, 12);
  });
});

describe("kaiser", () => {
  it.each<{ size: number; beta: number; window: number[] }>(scipy.kaiser)(
    "of $size samples with β = $beta is scipy's symmetric window",
    ({ size, beta, window }) => {
      expectClose(kaiser(size, beta), window);
    },
  );
});

describe("computeKaiserBeta", () => {
  it.each<{ attenuationDb: number; beta: number }>(scipy.beta)(
    "gives scipy's β for $attenuationDb dB",
    ({ attenuationDb, beta }) => {
      expect(computeKaiserBeta(attenuationDb)).toBeCloseTo(beta, 12);
    },
  );
});
