import { describe, expect, it } from "vitest";
import { burstiness } from "../../src/measure/readings/burstiness.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import { assertMade } from "../helpers/made.js";
import { gaussian } from "../helpers/noise.js";
import { quietReturn } from "../helpers/quiet-return.js";

/** Expected values: closed forms of the fourth moment, named in each test. */
function readOf(noise: (t: number) => number) {
  const reading = burstiness.read(createReturnContext(quietReturn(noise)));
  assertMade(reading);
  return reading;
}

describe("burstiness", () => {
  it("is nought for Gaussian noise, white or falling with frequency, also under hum", () => {
    for (const pole of [0, 0.9, 0.999]) {
      const next = gaussian(5);
      let kept = 0;
      const { value, uncertainty } = readOf((t) => {
        kept = pole * kept + next();
        return 1e-5 * kept + 1e-4 * Math.sin(2 * Math.PI * 50 * t);
      });
      expect(uncertainty).toBeLessThan(0.2);
      expect(Math.abs(value), `pole ${pole}`).toBeLessThan(1.5 * uncertainty);
    }
  });

  it.each([
    // Of a flat band to 20 kHz, of which the samples at these rates are the less independent the more of
    // them there are: Σ sinc⁴ over all distances is 1.005 and (2/3)·192/40 = 3.2 (closed form: the
    // integral of sinc⁴ is 2/3). σ = √(24·that/n), of n samples in 2.1 s, 95 % within 1.96 of it.
    [48_000, 1.005],
    [192_000, 3.2],
  ])("is as uncertain as the kurtosis of so much Gaussian noise is, at %i Hz", (rate, together) => {
    const next = gaussian(9);
    const noise = quietReturn(() => 1e-5 * next(), { sampleRate: rate });
    const reading = burstiness.read(createReturnContext(noise));
    assertMade(reading);
    const expected = 1.96 * Math.sqrt((24 * together) / (2.1 * rate));
    // What the silence loses at its ends is within this.
    expect(reading.uncertainty / (10 * Math.log10(1 + expected / 3))).toBeGreaterThan(0.95);
    expect(reading.uncertainty / (10 * Math.log10(1 + expected / 3))).toBeLessThan(1.08);
  });

  it("is that of a mixture where the power changes from time to time", () => {
    // σ and 3σ for half of the time each: kurtosis 3·2·(1 + 3⁴)/(1 + 3²)², 2.15 dB over Gaussian noise's
    const next = gaussian(6);
    const { value, uncertainty } = readOf((t) => 1e-5 * next() * ((t * 25) % 1 < 0.5 ? 1 : 3));
    expect(Math.abs(value - 10 * Math.log10((2 * 82) / 100))).toBeLessThan(0.2);
    expect(uncertainty).toBeLessThan(0.5);
  });

  it("sees crackle at random times that adds no more power than the hiss has", () => {
    // Impulses of one sample, twenty a second, with the power of the hiss: of them alone 3·48 000/20
    // times a fourth of it in the sum, less what the band of 500 Hz to 20 kHz spreads them over.
    const next = gaussian(7);
    const times = gaussian(8);
    const share = 20 / 48_000;
    const tall = 1e-5 / Math.sqrt(share);
    const chance = () => Math.abs(times()) < 0.000522;
    const { value } = readOf(() => 1e-5 * next() + (chance() ? tall * Math.sign(next()) : 0));
    expect(value).toBeGreaterThan(15);
  });
});
