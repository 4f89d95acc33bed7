import { describe, expect, it } from "vitest";
import { findImpulses } from "../../../src/dsp/impulses.js";
import { isReading } from "../../../src/measure/reading-kind.js";
import { clicks } from "../../../src/measure/readings/clicks.js";
import { createReturnContext } from "../../../src/measure/return-context.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn } from "../../helpers/captures.js";
import { gaussian } from "../../helpers/noise.js";
import { quietReturn } from "../../helpers/quiet-return.js";

const rate = 48_000;

describe("findImpulses", () => {
  it("finds none in Gaussian noise: fewer than 1 in 100 returns would have one", () => {
    // 300 s of noise are the silence and the tone of 100 standard returns
    const next = gaussian(3);
    let found = 0;
    for (let k = 0; k < 30; k++) {
      const noise = Float64Array.from({ length: 10 * rate }, next);
      found += findImpulses(noise, rate, 0.001).length;
    }
    expect(found).toBe(0);
  });

  it("finds each of a number of clicks where it is, and how large it is", () => {
    // closed form: an impulse of h through the filter peaks at b0²·h, b0 = 0.832 at 2 kHz and 48 kHz
    const next = gaussian(5);
    const noise = Float64Array.from({ length: 2 * rate }, () => 1e-4 * next());
    const places = [9000, 20_000, 20_100, 50_000, 90_000];
    for (const n of places) noise[n] += 0.01;
    const found = findImpulses(noise, rate, 0.001);
    // two that are 2 ms apart count as one
    expect(found.map(({ at }) => at)).toEqual([9000, 20_000, 50_000, 90_000].map(near(found)));
    for (const { overDb } of found) {
      // the typical peak of 48 Gaussian samples is 2.45 standard deviations; the filter passes 0.8
      expect(Math.abs(overDb - 20 * Math.log10((0.01 * 0.69) / (2.45 * 0.91e-4)))).toBeLessThan(2);
    }
  });

  it("takes what every period of a tone repeats for background", () => {
    // crossover-like spikes at every half-wave of 1 kHz
    const next = gaussian(7);
    const spikes = Float64Array.from(
      { length: rate },
      (_, n) => 1e-5 * next() + (n % 24 === 3 ? 1e-3 : 0),
    );
    expect(findImpulses(spikes, rate, 0.001)).toHaveLength(0);
  });
});

/** An expected place, or the one found within two samples of it. */
function near(found: readonly { readonly at: number }[]) {
  return (n: number) => found.find(({ at }) => Math.abs(at - n) <= 2)?.at ?? n;
}

describe("clicks", () => {
  it("counts the clicks in the silence and under the tone, per second", () => {
    // closed form: 4 clicks in 2.1 s of silence and 0.905 s of tone
    const table = buildSignalTable("standard", "base");
    const samples = new Float64Array(Math.round((table.lengthS + 0.2) * rate));
    addReturn(samples, table, rate, 4800.4);
    addNoise(samples, 1e-5, 9);
    const tone = table.segments.find((s) => s.name === "tone-1k");
    for (const atS of [0.9, 1.3, 2.2, (tone?.startS ?? 0) + 0.5]) {
      samples[Math.round(4800 + atS * rate)] += 0.005;
    }
    const context = createReturnContext({
      samples,
      origin: 4800.4,
      clock: rate,
      sampleRate: rate,
      table,
      mainsHz: 50,
    });
    const reading = clicks.read(context);
    if (!isReading(reading)) throw new Error(reading.absent);
    expect(reading.value).toBeCloseTo(4 / (2.1 + 0.905), 2);
    const heard = context.clicks();
    if (typeof heard === "string") throw new Error(heard);
    expect(heard.clicks.map(({ atS }) => Math.round(100 * atS) / 100)).toEqual([
      0.9,
      1.3,
      2.2,
      Math.round(100 * ((tone?.startS ?? 0) + 0.5)) / 100,
    ]);
  });

  it("does not count impulses that come with the mains", () => {
    // 100 a second, one at every half-wave, as a dimmer makes them
    const next = gaussian(11);
    const dimmer = (t: number) => ((t * 100) % 1 < 100 / rate ? 5e-3 : 0);
    const reading = clicks.read(
      createReturnContext(
        quietReturn((t) => dimmer(t) + 1e-5 * next() + 1e-4 * Math.sin(314.16 * t)),
      ),
    );
    expect(reading).toMatchObject({ value: 0 });
  });
});
