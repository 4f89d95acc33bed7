import { describe, expect, it } from "vitest";
import { measureReturn } from "../../src/measure/measure.js";
import { polarity } from "../../src/measure/readings/polarity.js";
import { computeResponseCurve } from "../../src/measure/response.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Curve } from "../../src/measure/types.js";
import { buildSignalTable, chooseBand } from "../../src/signal/signal-table.js";
import type { Profile } from "../../src/signal/types.js";
import {
  highPass1,
  highPass2,
  lowPass1,
  lowPass2,
  magnitudeDb,
  peak2,
  throughFilter,
} from "../helpers/analogue.js";
import { addNoise, addReturn, sineRms } from "../helpers/captures.js";
import { assertMade } from "../helpers/made.js";
import { slow } from "../helpers/slow.js";

// Expected values: closed forms of analogue filters (tests/helpers/analogue.ts).

type Filter = (hz: number) => readonly [number, number];

const asItIs = (samples: Float64Array) => samples;

function returnThrough(
  filter: Filter,
  rate: number,
  profile: Profile,
  noiseRms = 0,
  driftPpm = 0,
  bend = asItIs,
) {
  const table = buildSignalTable(profile, chooseBand(rate));
  const dry = new Float64Array(Math.round((table.lengthS + 0.3) * rate));
  addReturn(dry, table, rate, 0.1 * rate + 0.3, driftPpm);
  // the capture's clock runs fast by the drift, so the filter's frequencies do too
  const samples = bend(throughFilter(dry, rate * (1 + driftPpm * 1e-6), filter));
  if (noiseRms > 0) addNoise(samples, noiseRms, 5);
  const clock = rate * (1 + driftPpm * 1e-6);
  return { samples, origin: 0.1 * rate + 0.3, clock, sampleRate: rate, table, mainsHz: 50 };
}

const measured = (...of: Parameters<typeof returnThrough>) => measureReturn(returnThrough(...of));

/** The response alone: nothing else of the return is measured. */
function responseOf(...of: Parameters<typeof returnThrough>): Curve {
  const curve = computeResponseCurve(createReturnContext(returnThrough(...of)));
  assertMade(curve);
  return curve;
}

function worst(filter: Filter, { x, y }: Curve) {
  const reference = magnitudeDb(filter(1000));
  let most = 0;
  let atHz = 0;
  x.forEach((hz, i) => {
    const off = Math.abs(y[i] - (magnitudeDb(filter(hz)) - reference));
    if (off > most) {
      most = off;
      atHz = hz;
    }
  });
  return { most, atHz };
}

const filters: Record<string, Filter> = {
  "second-order high-pass at 60 Hz, Q 1": highPass2(60, 1),
  "second-order high-pass at 25 Hz, Q 0.707": highPass2(25, Math.SQRT1_2),
  "first-order high-pass at 2 Hz": highPass1(2),
  "first-order high-pass at 80 Hz": highPass1(80),
  "second-order low-pass at 16 kHz, Q 0.8": lowPass2(16_000, 0.8),
  "first-order low-pass at 5 kHz": lowPass1(5000),
  "a peak of 12 dB at 3 kHz, Q 3": peak2(3000, 3, 4),
  "a peak of 6 dB at 100 Hz, Q 2": peak2(100, 2, 2),
};

describe("response", () => {
  for (const [profile, how] of [
    ["quick", {}],
    ["standard", slow],
    ["full", slow],
  ] as const) {
    it(
      `is as uncertain below 20 Hz as the second harmonic reaches into it (${profile})`,
      how,
      () => {
        // closed forms: x + b·x² leaves the fundamental as it is; a first-order high-pass has its corner
        // where it was put, and the corner is as uncertain
        const bend = (samples: Float64Array) => samples.map((x) => x + 0.01 * x * x);
        const m = measured(highPass1(2), 48_000, profile, 1e-6, 0, bend);
        const { x, y, uncertainty } = m.curves.responseLow;
        const reference = magnitudeDb(highPass1(2)(1000));
        x.forEach((hz, i) => {
          const off = y[i] - (magnitudeDb(highPass1(2)(hz)) - reference);
          expect(Math.abs(off), `${profile}, ${hz} Hz`).toBeLessThan(1.5 * uncertainty[i]);
        });
        const { cornerLow } = m.readings;
        expect(Math.abs(cornerLow.value - 2), profile).toBeLessThan(1.5 * cornerLow.uncertainty);
      },
    );
  }

  for (const [name, filter] of Object.entries(filters)) {
    for (const [profile, how] of [
      ["quick", {}],
      ["standard", slow],
    ] as const) {
      it(`follows a ${name} within 0.01 dB from 20 Hz to 20 kHz (${profile})`, how, () => {
        const { most, atHz } = worst(filter, responseOf(filter, 48_000, profile));
        expect(most, `at ${atHz} Hz`).toBeLessThan(0.01);
      });
    }
  }

  it("stays within 0.01 dB with the sweep 60 dB over white noise", () => {
    const filter = highPass2(40, 0.8);
    const curve = responseOf(filter, 48_000, "standard", sineRms(-18 - 60));
    const { most, atHz } = worst(filter, curve);
    expect(most, `at ${atHz} Hz`).toBeLessThan(0.01);
  });

  it("needs no resampling to be right at 200 ppm of clock difference", () => {
    const filter = lowPass2(12_000, 2);
    for (const driftPpm of [-200, 200]) {
      expect(worst(filter, responseOf(filter, 48_000, "quick", 0, driftPpm)).most).toBeLessThan(
        0.01,
      );
    }
  });

  for (const [rate, how] of [
    [44_100, {}],
    [88_200, {}],
    [96_000, slow],
    [192_000, slow],
  ] as const) {
    it(`holds at ${rate} Hz, and reaches 40 kHz from 88.2 kHz up`, how, () => {
      const filter = highPass2(30, 1);
      const curve = responseOf(filter, rate, "quick");
      const { most, atHz } = worst(filter, curve);
      expect(most, `at ${atHz} Hz`).toBeLessThan(0.01);
      expect(curve.x.at(-1)).toBeGreaterThan(rate > 80_000 ? 39_000 : 19_900);
    });
  }

  it("reaches 20 kHz in a recording at half the rate of a signal that goes to 40 kHz", () => {
    const filter = highPass2(30, 1);
    // All of the filter, and nothing that folds back at half of 48 kHz, as converters do.
    const converted: Filter = (hz) => {
      const over = Math.min(1, Math.max(0, (hz - 21_500) / 2000));
      const share = (1 + Math.cos(Math.PI * over)) / 2;
      const [re, im] = filter(hz);
      return [share * re, share * im];
    };
    const played = returnThrough(converted, 96_000, "quick");
    const samples = played.samples.filter((_, n) => n % 2 === 0);
    const recorded = { ...played, samples, origin: played.origin / 2, clock: 48_000 };
    const context = createReturnContext({ ...recorded, sampleRate: 48_000 });
    const curve = computeResponseCurve(context);
    assertMade(curve);
    const { most, atHz } = worst(filter, curve);
    expect(most, `at ${atHz} Hz`).toBeLessThan(0.01);
    expect(curve.x.at(-1)).toBeGreaterThan(19_900);
    expect(curve.x.at(-1)).toBeLessThan(21_000);
  });

  it("tells polarity through filters that turn the phase", () => {
    const upright = measured(highPass1(100), 48_000, "quick");
    expect(upright.readings.polarity.value).toBe(1);
    const down = measured(
      (hz) => lowPass2(9000, 0.7)(hz).map((v) => -v) as [number, number],
      48_000,
      "quick",
    );
    expect(down.readings.polarity.value).toBe(-1);
  });

  it("tells polarity through noise as loud as the sweep, and none from noise alone", () => {
    // truth: the sign put in; noise alone has none
    const table = buildSignalTable("quick", "base");
    for (let seed = 1; seed <= 12; seed++) {
      for (const gain of [-1, 0, 1]) {
        const samples = new Float64Array(Math.round((table.lengthS + 0.2) * 48_000));
        if (gain !== 0) addReturn(samples, table, 48_000, 2400.3, 0, gain);
        addNoise(samples, sineRms(-18), seed);
        const audio = { samples, origin: 2400.3, clock: 48_000, sampleRate: 48_000 };
        const context = createReturnContext({ ...audio, table, mainsHz: 50 });
        const reading = polarity.read(context);
        if (gain === 0) expect(reading).toHaveProperty("absent");
        else expect(reading).toMatchObject({ value: gain });
      }
    }
  });
});

describe("the uncertainty of the response", () => {
  /** Second-order all-pass: |H| is 1 everywhere, and rings Q/(π·f) seconds. */
  const allPass2 =
    (hz0: number, q: number): Filter =>
    (hz) => {
      const [a, b] = [1 - (hz / hz0) ** 2, hz / hz0 / q];
      const scale = 1 / (a * a + b * b);
      return [(a * a - b * b) * scale, -2 * a * b * scale];
    };

  it.each([
    ["an all-pass", 1000, 0.7],
    ["one that rings for a while", 1000, 30],
    ["one that rings longer than the gate", 1000, 100],
    ["one at low frequency", 60, 20],
  ])("holds the closed form of %s, without noise", (_, hz0, q) => {
    const { x, y, uncertainty } = responseOf(allPass2(hz0, q), 48_000, "standard");
    const outside = x.filter((_hz, i) => Math.abs(y[i]) > uncertainty[i]);
    expect(outside.length / x.length).toBeLessThan(0.02);
    // what does not ring on is read to a ten-thousandth of a decibel
    if (q < 50)
      expect(Math.max(...y.map(Math.abs).filter((_db, i) => x[i] > 200))).toBeLessThan(1e-4);
  });
});
