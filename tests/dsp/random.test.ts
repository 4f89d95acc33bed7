import { describe, expect, it } from "vitest";
import { createMersenneTwister } from "../../src/dsp/random.js";

describe("mersenneTwister", () => {
  // ISO/IEC 14882 (C++), [rand.predef]: the 10000th value of mt19937 at its default seed, 5489.
  it("gives the value that the C++ standard requires", () => {
    const random = createMersenneTwister(5489);
    for (let k = 1; k < 10_000; k++) random.next32();
    expect(random.next32()).toBe(4_123_659_995);
  });

  // numpy 2.4: np.random.RandomState(1).random_sample(4).
  it("gives the fractions of 53 bits that numpy gives", () => {
    const random = createMersenneTwister(1);
    expect([random.uniform(), random.uniform(), random.uniform(), random.uniform()]).toEqual([
      0.417022004702574, 0.7203244934421581, 0.00011437481734488664, 0.30233257263183977,
    ]);
  });
});
