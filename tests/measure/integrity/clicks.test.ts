import { describe, expect, it } from "vitest";
import { clicks } from "../../../src/measure/readings/clicks.js";
import { createReturnContext } from "../../../src/measure/return-context.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn } from "../../helpers/captures.js";
import { assertMade } from "../../helpers/made.js";
import { gaussian } from "../../helpers/noise.js";
import { quietReturn } from "../../helpers/quiet-return.js";

const rate = 48_000;

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
    assertMade(reading);
    expect(reading.value).toBeCloseTo(4 / (2.1 + 0.905), 2);
    const heard = context.clicks();
    assertMade(heard);
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
