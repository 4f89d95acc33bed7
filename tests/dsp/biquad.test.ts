import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { computeButterworthHighPass, createBiquadRunner } from "../../src/dsp/biquad.js";
import { makeSamples } from "../helpers/samples.js";

// Source: scipy.signal.butter and lfilter; tests/reference/scipy/biquad.py made the file.
const scipy = JSON.parse(
  readFileSync(new URL("../reference/scipy/biquad.json", import.meta.url), "utf8"),
);

interface Designed {
  readonly cornerHz: number;
  readonly rateHz: number;
  readonly b: readonly number[];
  readonly a: readonly number[];
}

/** The noise that scipy filtered. */
function noise(): Float64Array {
  let state = 12345;
  return makeSamples(10_000, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32 - 0.5;
  });
}

describe("computeButterworthHighPass", () => {
  it.each<Designed>(scipy.filters)(
    "of $cornerHz Hz at $rateHz Hz has scipy's coefficients",
    ({ cornerHz, rateHz, b, a }) => {
      const filter = computeButterworthHighPass(cornerHz, rateHz);
      expect(filter.b0).toBeCloseTo(b[0], 12);
      expect(filter.b1).toBeCloseTo(b[1], 12);
      expect(filter.b2).toBeCloseTo(b[2], 12);
      expect(filter.a1).toBeCloseTo(a[1], 12);
      expect(filter.a2).toBeCloseTo(a[2], 12);
    },
  );
});

describe("createBiquadRunner", () => {
  const { places, answer } = scipy.noise;
  const highPass = computeButterworthHighPass(2000, 48_000);

  function expectAnswer(block: Float64Array): void {
    places.forEach((n: number, i: number) => {
      expect(block[n], `sample ${n}`).toBeCloseTo(answer[i], 12);
    });
  }

  it("filters a block as scipy does, also beyond the pieces that it works in", () => {
    const block = noise();
    createBiquadRunner(highPass)(block, block.length);
    expectAnswer(block);
  });

  it("goes on from call to call as if the blocks were one", () => {
    const whole = noise();
    const run = createBiquadRunner(highPass);
    for (let at = 0; at < whole.length; at += 37) {
      const part = whole.subarray(at, at + 37);
      run(part, part.length);
    }
    expectAnswer(whole);
  });

  it("leaves what lies beyond the count as it was", () => {
    const block = noise();
    createBiquadRunner(highPass)(block, 5000);
    expect(block.slice(5000)).toEqual(noise().slice(5000));
  });
});
