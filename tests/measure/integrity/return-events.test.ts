import { describe, expect, it } from "vitest";
import { createMersenneTwister } from "../../../src/dsp/random.js";
import { analyzeClicks } from "../../../src/measure/integrity/clicks.js";
import { listReturnEvents } from "../../../src/measure/integrity/return-events.js";
import { assertMade } from "../../helpers/made.js";
import { makeSamples } from "../../helpers/samples.js";

// Expected: what is put into a return without a tone, at its sample.

const absent = { absent: { code: "not-in-signal" } };
const rate = 1000;

/** Events of five seconds, of which these samples are at full scale. */
function events(clipped: readonly number[], given: object = {}) {
  const samples = makeSamples(5 * rate, (n) => (n % 7) / 100);
  for (const n of clipped) samples[n] = 1;
  const table = { segments: [{ kind: "silence", name: "end", startS: 0, lengthS: 4.9 }] };
  const audio = { samples, origin: 50, clock: rate, sampleRate: rate, table, mainsHz: 50 };
  return listReturnEvents({
    audio,
    tone: () => absent,
    sweep: () => absent,
    clicks: () => absent,
    levelBreaks: () => [],
    ...given,
  } as never);
}

describe("the events of a return", () => {
  it("are none where nothing happens, and stand in order of time", () => {
    expect(events([])).toEqual([]);
    const click = { atS: 2, overDb: 20 };
    const levelBreak = { kind: "level-break", segment: "tone", atS: 1, untilS: 1.1, levelDb: -3 };
    const all = events([3050, 3051, 560, 561], {
      clicks: () => ({ clicks: [click] }),
      levelBreaks: () => [levelBreak],
    });
    expect(all).toEqual([
      { kind: "clipped", atS: expect.closeTo(0.511, 9), untilS: expect.closeTo(0.511, 9) },
      levelBreak,
      { kind: "click", ...click },
      { kind: "clipped", atS: expect.closeTo(3.001, 9), untilS: expect.closeTo(3.001, 9) },
    ]);
  });

  it("are the fifty loudest clicks", () => {
    // Every other is 20 dB louder: of 40 such all, and the ten loudest of the others.
    const clicks = Array.from({ length: 80 }, (_, k) => ({
      atS: k / 20,
      overDb: k % 2 === 0 ? 30 + k / 10 : 10 + k / 10,
    }));
    const shown = events([], { clicks: () => ({ clicks }) });
    expect(shown).toHaveLength(50);
    expect(shown).toEqual(
      clicks
        .filter((_, k) => k % 2 === 0 || k > 60)
        .map(({ atS, overDb }) => ({ kind: "click", atS, overDb })),
    );
  });

  it("are stretches that clipped: two samples in a row, together within 50 ms", () => {
    // A run's second sample is the first that tells.
    expect(events([100, 102, 104])).toEqual([]);
    const times = (clipped: readonly number[]) =>
      events(clipped).map((one) =>
        one.kind === "clipped" ? [one.atS, one.untilS].map((s) => Math.round(1000 * s)) : [],
      );
    expect(times([100, 101, 102, 103])).toEqual([[51, 53]]);
    expect(times([100, 101, 149, 150])).toEqual([[51, 100]]);
    expect(times([100, 101, 151, 152])).toEqual([
      [51, 51],
      [102, 102],
    ]);
    // The last goes on: three, each 40 ms behind the one before.
    expect(times([100, 101, 140, 141, 180, 181])).toEqual([[51, 131]]);
    const many = Array.from({ length: 60 }, (_, k) => [100 + 80 * k, 101 + 80 * k]).flat();
    expect(times(many)).toHaveLength(50);
    expect(times(many)[49]).toEqual([51 + 80 * 49, 51 + 80 * 49]);
  });
});

describe("clicks", () => {
  const sampleRate = 8000;
  /** Even between its ends, so that none of it stands out by chance. */
  const evenNoise = (seed: number) => {
    const random = createMersenneTwister(seed);
    return () => random.uniform() - 0.5;
  };
  /** Three seconds of noise with impulses at these times. */
  function heard(timesS: readonly number[], lines?: object, mainsHz = 50) {
    const next = evenNoise(3);
    const hiss = makeSamples(3 * sampleRate, () => 1e-5 * next());
    for (const atS of timesS) hiss[Math.round(atS * sampleRate)] += 5e-3;
    const quiet = { hiss, startS: 10, lines };
    const found = analyzeClicks({ sampleRate, mainsHz } as never, quiet as never, absent as never);
    assertMade(found);
    return found;
  }
  const every = (periodS: number, count: number) =>
    Array.from({ length: count }, (_, k) => 0.5 + periodS * k);

  it("are told at the signal's time, and how long was searched", () => {
    const { clicks, seconds } = heard([0.5, 1.25, 2.75]);
    expect(seconds).toBeCloseTo(3, 9);
    expect(clicks.map(({ atS }) => Number(atS.toFixed(3)))).toEqual([10.5, 11.25, 12.75]);
    expect(
      analyzeClicks({ sampleRate, mainsHz: 50 } as never, absent as never, absent as never),
    ).toBe(absent);
  });

  it("are searched for beneath the tone as well", () => {
    const next = evenNoise(4);
    const residual = makeSamples(sampleRate, () => 1e-5 * next());
    residual[4000] += 5e-3;
    const quiet = {
      hiss: makeSamples(sampleRate, () => 1e-5 * next()),
      startS: 1,
      lines: undefined,
    };
    const tone = { residual, startS: 20 };
    const found = analyzeClicks(
      { sampleRate, mainsHz: 50 } as never,
      quiet as never,
      tone as never,
    );
    assertMade(found);
    expect(found.seconds).toBeCloseTo(2, 9);
    expect(found.clicks.map(({ atS }) => Number(atS.toFixed(3)))).toEqual([20.5]);
  });

  it("of which twelve or more keep one phase of the mains' half-waves are the mains'", () => {
    // 0.13 s are 13 half-waves of 50 Hz.
    expect(heard(every(0.13, 12)).clicks).toHaveLength(0);
    expect(heard(every(0.13, 11)).clicks).toHaveLength(11);
    // One of another phase stays.
    expect(
      heard([...every(0.13, 12), 2.705]).clicks.map(({ atS }) => Number(atS.toFixed(3))),
    ).toEqual([12.705]);
    // A quarter of a half-wave on each: no phase is theirs.
    expect(heard(every(0.1325, 14)).clicks).toHaveLength(14);
    // By the mains as found, then as the desk file has it: 0.125 s are 15 half-waves of 60 Hz.
    expect(heard(every(0.125, 14), { frequencyHz: 60 }).clicks).toHaveLength(0);
    expect(heard(every(0.125, 14), undefined, 60).clicks).toHaveLength(0);
    expect(heard(every(0.125, 14)).clicks).toHaveLength(14);
  });
});
