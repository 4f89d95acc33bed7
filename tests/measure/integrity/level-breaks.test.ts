import { describe, expect, it } from "vitest";
import { summarizeBreaks } from "../../../src/diagnose/level-breaks.js";
import { listLevelBreaks } from "../../../src/measure/integrity/level-breaks.js";
import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { formatEvidence } from "../../../src/report/evidence/format-evidence.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn } from "../../helpers/captures.js";
import { type Played, sine, smallReturn } from "./small-returns.js";

// Expected values: the breaks that were put in, at their times and depths.

const rate = 48_000;
const beforeS = 0.2;
const table = buildSignalTable("standard", "base");
const clean = (() => {
  const out = new Float64Array(Math.ceil((table.lengthS + 2 * beforeS) * rate));
  addReturn(out, table, rate, beforeS * rate, 0, 0.8);
  return out;
})();

interface Break {
  readonly atS: number;
  readonly lengthS: number;
  readonly db: number;
}

const segment = (name: string) => {
  const found = table.segments.find((one) => one.name === name);
  if (!found) throw new Error(name);
  return found;
};

/** A return whose level steps down for a while, and up again. */
function broken(breaks: readonly Break[], noise = 1e-5, change = (x: number, _s: number) => x) {
  const samples = clean.map((x, n) => change(x, n / rate - beforeS));
  for (const { atS, lengthS, db } of breaks) {
    const from = Math.round((beforeS + atS) * rate);
    for (let n = from; n < from + Math.round(lengthS * rate); n++) samples[n] *= 10 ** (db / 20);
  }
  addNoise(samples, noise, 5);
  const audio = { samples, origin: beforeS * rate, clock: rate, sampleRate: rate, table };
  return listLevelBreaks({ ...audio, mainsHz: 50 } as ReturnAudio);
}

const [tone, low, twin, steps, sweep] = ["tone-1k", "tone-100", "twin", "steps-1k", "sweep"].map(
  segment,
);

describe("breaks of the level", () => {
  it("are absent where nothing breaks, with little noise or much", () => {
    for (const noise of [0, 1e-5, 1e-3]) expect(broken([], noise)).toEqual([]);
  });

  it.each([15, 30, 50])("are none in noise that falls with frequency, %f times", (times) => {
    // What scatters the sweep by a decibel where it begins leaves its upper end still.
    const noise = new Float64Array(clean.length);
    addNoise(noise, 1e-4 * times, 7);
    let sum = 0;
    const red = noise.map((x) => {
      sum = 0.99 * sum + x;
      return sum;
    });
    expect(broken([], 1e-5, (x, s) => x + red[Math.round((s + beforeS) * rate)])).toEqual([]);
  });

  it("are absent where hum runs along, the level drifts, or a filter is steep", () => {
    const hum = (x: number, s: number) => x + 0.02 * Math.sin(2 * Math.PI * 50 * s);
    expect(broken([], 1e-5, hum)).toEqual([]);
    // Half a decibel a second, as no part that warms up does.
    expect(broken([], 1e-5, (x, s) => x * 10 ** ((0.5 * s) / 20))).toEqual([]);
    // 18 dB per octave below 3 kHz, along the sweep's own frequency.
    if (sweep.kind !== "sweep") throw new Error("no sweep");
    const { startS, sweepS, fromHz, rateS } = sweep;
    const cut = (x: number, s: number) => {
      const t = s - startS;
      if (t < 0 || t > sweepS) return x;
      return x / Math.sqrt(1 + (3000 / (fromHz * Math.exp(t / rateS))) ** 6);
    };
    expect(broken([], 1e-5, cut)).toEqual([]);
  });

  it.each([
    ["in the 1 kHz tone", tone.startS + 0.5, 0.05, -0.5, "tone-1k"],
    ["only in the 100 Hz tone", low.startS + 0.4, 0.1, -1, "tone-100"],
    ["in the two tones", twin.startS + 0.3, 0.04, -3, "twin"],
    ["late in the steps", steps.startS + 8 * 0.2 + 0.1, 0.03, -2, "steps-1k"],
    ["wholly open", tone.startS + 0.5, 0.02, -80, "tone-1k"],
    ["to the end of a segment", tone.startS + 0.9, 0.1, -1.5, "tone-1k"],
    ["from the beginning of a segment", low.startS, 0.3, -1.5, "tone-100"],
    ["over most of a segment", tone.startS, 0.6, -1, "tone-1k"],
  ])("are found %s", (_, atS, lengthS, db, name) => {
    const found = broken([{ atS, lengthS, db }]);
    expect(found).toHaveLength(1);
    const [one] = found;
    expect(one.segment).toBe(name);
    const piece = name === "tone-100" ? 0.02 : 0.004;
    // What is left out at a segment's ends is not seen; else within two pieces.
    const settles = atS === low.startS || (atS === tone.startS && lengthS === 0.6);
    if (!settles) expect(Math.abs(one.atS - atS)).toBeLessThan(2 * piece);
    expect(Math.abs(one.untilS - (atS + lengthS))).toBeLessThan(2 * piece + 0.015);
    if (db > -60) expect(one.levelDb).toBeCloseTo(db, 1);
    else expect(one.levelDb).toBeLessThan(-30);
  });

  it("are found in a short stretch of the sweep", () => {
    // 5 Hz · e^(2.6/0.4): 3.3 kHz.
    const atS = sweep.startS + 2.6;
    const found = broken([{ atS, lengthS: 0.03, db: -1.5 }]);
    expect(found).toHaveLength(1);
    expect(found[0].segment).toBe("sweep");
    expect(Math.abs(found[0].atS - atS)).toBeLessThan(0.008);
    expect(Math.abs(found[0].levelDb + 1.5)).toBeLessThan(0.3);
  });

  it("are counted one by one, and told in one line", () => {
    const found = broken([
      { atS: low.startS + 0.2, lengthS: 0.06, db: -1 },
      { atS: low.startS + 0.5, lengthS: 0.1, db: -2 },
    ]);
    expect(found).toHaveLength(2);
    expect(formatEvidence(summarizeBreaks(found))).toMatch(
      /^the level breaks in tone-100 twice, by up to −2\.0 dB, for up to (80|100|120) ms$/,
    );
  });

  it("are not seen where they are within the noise", () => {
    expect(broken([{ atS: tone.startS + 0.5, lengthS: 0.05, db: -0.1 }])).toEqual([]);
  });
});

// From here on the level of every 4 ms is given: 32 samples, or four periods of 1 kHz. A tone is
// followed from 30 ms after its beginning to 15 ms before its end.

type Stretch = readonly [pieces: number, db: number];
const levelsOf = (stretches: readonly Stretch[]) =>
  stretches.flatMap(([pieces, db]) => Array<number>(pieces).fill(db));

const small = 8000;
const flankS = 0.03;
const pieceS = 0.004;

/** A tone with these levels, and half a millisecond to spare. */
function toneOf(levels: readonly number[], startS = 0): Played {
  const sound = sine(1000, 0.1);
  return {
    ...{ kind: "tone", name: "tone-1k", frequencyHz: 1000, startS },
    lengthS: flankS + pieceS * levels.length + 0.015 + 0.0005,
    sound: (s) => {
      const piece = Math.floor((s - flankS) / pieceS + 1e-6);
      const at = Math.max(0, Math.min(levels.length - 1, piece));
      return 10 ** (levels[at] / 20) * sound(s);
    },
  };
}

/** What is found, in pieces of the tone. */
function found(...stretches: readonly Stretch[]) {
  const audio = smallReturn([toneOf(levelsOf(stretches))], { rate: small });
  return listLevelBreaks(audio).map(({ atS, untilS, levelDb }) => [
    Math.round((atS - flankS) / pieceS),
    Math.round((untilS - flankS) / pieceS),
    Number(levelDb.toFixed(3)),
  ]);
}

describe("a level that breaks within a tone", () => {
  it("is told from a quarter of a decibel, for two pieces or more", () => {
    expect(found([20, 0], [2, -0.26], [20, 0])).toEqual([[20, 22, -0.26]]);
    expect(found([20, 0], [2, -0.24], [20, 0])).toEqual([]);
    expect(found([20, 0], [1, -6], [20, 0])).toEqual([]);
    expect(found([20, 0], [5, 2], [20, 0])).toEqual([[20, 25, 2]]);
  });

  it("is told by its deepest, each by itself, in order of time", () => {
    expect(found([20, 0], [5, -1], [3, -1.5], [20, 0], [4, -3], [20, 0])).toEqual([
      [20, 28, -1.5],
      [48, 52, -3],
    ]);
    // It ends where it is back to half of what counts.
    expect(found([20, 0], [4, -3], [1, -0.2], [20, 0])).toEqual([[20, 25, -3]]);
    expect(found([20, 0], [4, -3], [1, -0.1], [20, 0])).toEqual([[20, 24, -3]]);
  });

  it("is told at an end by the edge that is seen, and not where none is", () => {
    expect(found([10, -1], [40, 0])).toEqual([[0, 10, -1]]);
    expect(found([40, 0], [10, -1])).toEqual([[40, 50, -1]]);
    expect(found([50, -1])).toEqual([]);
  });

  it("has the level for its usual one that 30 of 100 pieces reach", () => {
    // 31 and 14 of 45, then 32 and 13.
    expect(found([30, -1], [15, 0])).toEqual([[0, 30, -1]]);
    expect(found([32, -1], [13, 0])).toEqual([[32, 45, 1]]);
  });

  it("is fast: within a few pieces, and at both of its edges", () => {
    const ramp = (from: number, step: number, count: number): Stretch[] =>
      Array.from({ length: count }, (_, k) => [1, from + step * (k + 1)]);
    const [down, up] = [ramp(0, -0.1, 10), ramp(-1, 0.1, 10)];
    expect(found([20, 0], ...down, [10, -1], ...up, [20, 0])).toEqual([]);
    expect(found([20, 0], [10, -1], ...up, [20, 0])).toEqual([]);
    expect(found([20, 0], ...down, [10, -1], [20, 0])).toEqual([]);
    // Half of it at once and the rest by and by; then four fifths.
    expect(found([20, 0], [1, -0.5], ...ramp(-0.5, -0.05, 10), [30, 0])).toEqual([]);
    expect(found([20, 0], [1, -0.8], ...ramp(-0.8, -0.02, 10), [30, 0])).toEqual([[20, 31, -1]]);
  });

  it("is beyond the slope that the level has before and behind", () => {
    // A level that falls by 0.2 dB a piece throughout steps by no more than that.
    const slope = Array.from({ length: 40 }, (_, k): Stretch => [1, -0.2 * k]);
    expect(found(...slope)).toEqual([]);
  });

  it("is beyond eight deviations of what the level scatters, and none in noise", () => {
    // Neighbours differ by s: a deviation of 1.4826/√2·s. The usual level is the upper.
    const wavering = (s: number, depth: number) => {
      const part = (count: number, db: number) =>
        Array.from({ length: count }, (_, k): Stretch => [1, db + (k % 2 === 0 ? 0 : s)]);
      return found(...part(40, 0), ...part(6, -depth), ...part(40, 0)).length;
    };
    // s = 0.05: 0.419 dB below the upper, and 0.05 dB less below the lower.
    expect([wavering(0.05, 0.35), wavering(0.05, 0.39)]).toEqual([0, 1]);
    // 1.5 dB of deviation are s = 1.431.
    expect([wavering(1.42, 30), wavering(1.44, 30)]).toEqual([1, 0]);
  });

  it("is told by one edge within three pieces of where half of what counts is reached", () => {
    expect(found([20, 0], [1, -0.15], [1, -0.3], [10, -1], [20, 0])).toEqual([[20, 32, -1]]);
    expect(found([20, 0], [10, -1], [1, -0.3], [1, -0.15], [20, 0])).toEqual([[20, 32, -1]]);
  });

  it.each([
    // 1 dB at once, 0.12 dB a piece for five pieces more: of 1.6 dB six tenths are wanted, 0.96. Three
    // pieces have 1.24 dB, less 0.36 of slope behind; where three before are seen too, half of that.
    [3, 0],
    [4, 1],
    [5, 1],
  ])("is beyond the slopes that are seen on either side, %i pieces from an end", (pieces, many) => {
    const stretches: Stretch[] = [
      [pieces, 0],
      ...[-1, -1.12, -1.24, -1.36, -1.48].map((db): Stretch => [1, db]),
      [6, -1.6],
      [40, 0],
    ];
    expect(found(...stretches)).toHaveLength(many);
    expect(found(...[...stretches].reverse())).toHaveLength(many);
  });

  it("is measured against the scatter of the whole tone, wherever it lies", () => {
    // Most is still; eight deviations of what wavers about the break would be 1.7 dB.
    const wavering = (count: number, db: number) =>
      Array.from({ length: count }, (_, k): Stretch => [1, db - (k % 2 === 0 ? 0 : 0.1)]);
    const stretches: Stretch[] = [...wavering(50, 0), [6, -0.6], ...wavering(50, 0), [160, 0]];
    expect(found(...stretches)).toEqual([[50, 56, -0.6]]);
  });

  it("goes down to −160 dBFS where nothing is left", () => {
    // The tone has a tenth of full scale: −20 dBFS.
    expect(found([20, 0], [5, -Infinity], [20, 0])).toEqual([[20, 25, -140]]);
  });

  it("is that of each piece alone, whatever the tone's phase", () => {
    const levels = levelsOf([
      [20, 0],
      [1, -1],
      [1, -1.5],
      [20, 0],
    ]);
    const played = toneOf(levels);
    const cosine = (s: number) => Math.cos(2 * Math.PI * 1000 * s);
    const at = (s: number) =>
      levels[Math.max(0, Math.min(levels.length - 1, Math.floor((s - flankS) / pieceS + 1e-6)))];
    const sound = (s: number) => 0.1 * 10 ** (at(s) / 20) * cosine(s);
    const [one] = listLevelBreaks(smallReturn([{ ...played, sound }], { rate: small }));
    expect(one.levelDb).toBeCloseTo(-1.5, 6);
  });

  it("needs six pieces", () => {
    expect(found([3, 0], [3, -1])).toEqual([[3, 6, -1]]);
    expect(found([2, 0], [3, -1])).toEqual([]);
  });

  it("is one of the forty deepest, up or down", () => {
    const depth = (k: number) => (1 + 0.1 * ((7 * k) % 45)) * (k % 2 === 0 ? 1 : -1);
    const all = found(
      ...Array.from({ length: 45 }).flatMap((_, k): Stretch[] => [
        [6, 0],
        [2, depth(k)],
      ]),
      [6, 0],
    );
    const expected = Array.from({ length: 45 }, (_, k) => [8 * k + 6, 8 * k + 8, depth(k)])
      // The five shallowest are 1 to 1.4 dB.
      .filter(([, , db]) => Math.abs(db) > 1.45)
      .map(([from, until, db]) => [from, until, Number(db.toFixed(3))]);
    expect(all).toEqual(expected);
  });

  it("is told by the signal's time", () => {
    const audio = smallReturn(
      [
        { kind: "silence", name: "silence", startS: 0, lengthS: 0.5 },
        toneOf(
          levelsOf([
            [20, 0],
            [5, -2],
            [20, 0],
          ]),
          0.5,
        ),
      ],
      { rate: small, origin: 400 },
    );
    expect(listLevelBreaks(audio)).toEqual([
      {
        kind: "level-break",
        segment: "tone-1k",
        atS: expect.closeTo(0.5 + flankS + 20 * pieceS, 9),
        untilS: expect.closeTo(0.5 + flankS + 25 * pieceS, 9),
        levelDb: expect.closeTo(-2, 6),
      },
    ]);
    // Nothing where the recording ends before the tone does.
    expect(listLevelBreaks({ ...audio, samples: audio.samples.subarray(0, 5000) })).toEqual([]);
  });
});

describe("a level that breaks elsewhere", () => {
  const dip = (from: number, until: number, gain: number) => (s: number) =>
    s >= from && s < until ? gain : 1;

  it("is followed in steps down to 20 dB below nominal", () => {
    const steps: Played = {
      ...{ kind: "steps", name: "steps", startS: 0, lengthS: 0.6, frequencyHz: 1000 },
      ...{ stepS: 0.2, levelsDbfs: [-38, -38.1, -18] },
      sound: (s) => {
        const level = [-38, -38.1, -18][Math.floor(s / 0.2)];
        return dip(0.1, 0.14, 0.5)(s % 0.2) * sine(1000, 10 ** (level / 20))(s);
      },
    };
    const breaks = listLevelBreaks(smallReturn([steps], { rate: small }));
    expect(breaks.map(({ atS }) => Math.round(20 * atS))).toEqual([2, 10]);
    for (const { levelDb } of breaks) expect(levelDb).toBeCloseTo(-6.02, 1);
  });

  it("is the sum of both in two tones", () => {
    // Where one of two as strong is gone, half the power is left.
    const twin: Played = {
      ...{ kind: "twin", name: "twin", startS: 0, lengthS: 0.4, lowHz: 100, highHz: 1000 },
      // In pieces of two periods of the lower: 20 ms from 60 ms on.
      sound: (s) => sine(100, 0.2)(s) + dip(0.16, 0.22, 0)(s) * sine(1000, 0.2)(s),
    };
    const [one, ...more] = listLevelBreaks(smallReturn([twin], { rate: small }));
    expect(more).toEqual([]);
    expect(one).toMatchObject({ atS: expect.closeTo(0.16, 9), untilS: expect.closeTo(0.22, 9) });
    expect(one.levelDb).toBeCloseTo(-3.01, 1);
  });

  it("is followed in pieces of two periods of a low tone", () => {
    // 20 ms from 60 ms on: three pieces are left out.
    const low: Played = {
      ...{ kind: "tone", name: "tone-100", startS: 0, lengthS: 0.6, frequencyHz: 100 },
      sound: (s) => dip(0.26, 0.32, 0.5)(s) * sine(100)(s),
    };
    const [one, ...more] = listLevelBreaks(smallReturn([low], { rate: small }));
    expect(more).toEqual([]);
    expect(one.atS).toBeCloseTo(0.26, 9);
    expect(one.untilS).toBeCloseTo(0.32, 9);
    expect(one.levelDb).toBeCloseTo(-6.02, 2);
  });

  it("is nothing in a silence or a marker", () => {
    const other = (kind: string): Played => ({
      ...{ kind, name: kind, startS: 0, lengthS: 0.4, frequencyHz: 1000 },
      sound: (s) => dip(0.15, 0.19, 0.5)(s) * sine(1000)(s),
    });
    for (const kind of ["silence", "marker"]) {
      expect(listLevelBreaks(smallReturn([other(kind)], { rate: small }))).toEqual([]);
    }
  });

  describe("in a sweep", () => {
    const [fromHz, rateS] = [100, 0.15];
    /** At this time it plays a frequency. */
    const atHz = (hz: number) => rateS * Math.log(hz / fromHz);
    const swept = (toHz: number, gain: (s: number) => number, rate: number) => {
      const sweepS = atHz(toHz);
      const sweep: Played = {
        ...{ kind: "sweep", name: "sweep", startS: 0.1, lengthS: sweepS + 0.1, fromHz, toHz },
        ...{ rateS, sweepS },
        sound: (s) =>
          s > sweepS
            ? 0
            : gain(s) * 0.3 * Math.sin(2 * Math.PI * fromHz * rateS * Math.expm1(s / rateS)),
      };
      return listLevelBreaks(smallReturn([sweep], { rate, origin: 50 }));
    };
    const halved = (hz: number) => dip(atHz(hz), atHz(hz) + 0.03, 0.5);

    it("is told at its time and its depth", () => {
      const [one, ...more] = swept(3000, halved(1000), 16_000);
      expect(more).toEqual([]);
      expect(Math.abs(one.atS - (0.1 + atHz(1000)))).toBeLessThan(pieceS);
      expect(Math.abs(one.untilS - (0.13 + atHz(1000)))).toBeLessThan(pieceS);
      expect(Math.abs(one.levelDb + 6.02)).toBeLessThan(0.1);
      expect(one.segment).toBe("sweep");
      expect(swept(3000, () => 1, 16_000)).toEqual([]);
    });

    it("is that from the level about, where a filter's slope is along", () => {
      // 3 dB an octave over nearly three of them; what is low shifts its own surroundings a little.
      const slope = (s: number) => Math.exp((-0.5 * s) / rateS);
      expect(swept(3000, slope, 16_000)).toEqual([]);
      const [one, ...more] = swept(3000, (s) => slope(s) * halved(1000)(s), 16_000);
      expect(more).toEqual([]);
      expect(Math.abs(one.atS - (0.1 + atHz(1000)))).toBeLessThan(pieceS);
      expect(Math.abs(one.levelDb + 6.02)).toBeLessThan(1);
    });

    it("is followed to four pieces before the end", () => {
      // 75 pieces from 400 Hz on, of which 68 to 71 are low.
      const toHz = 400 * Math.exp((75.2 * pieceS) / rateS);
      const at = (piece: number) => atHz(400) + piece * pieceS;
      const [one, ...more] = swept(toHz, dip(at(68), at(72), 0.5), 16_000);
      expect(more).toEqual([]);
      expect(Math.abs(one.atS - 0.1 - at(68))).toBeLessThan(pieceS / 2);
      expect(Math.abs(one.untilS - 0.1 - at(71))).toBeLessThan(pieceS / 2);
    });

    it("is none where neither of its edges is seen", () => {
      // Ten pieces from 400 Hz on, of which the middle two are low.
      const toHz = 400 * Math.exp(0.0405 / rateS);
      const middle = atHz(400) + 4 * pieceS;
      expect(swept(toHz, dip(middle, middle + 2 * pieceS, 0.5), 16_000)).toEqual([]);
    });

    it("is followed from 400 Hz up to two fifths of the rate, and not beside its ends", () => {
      expect(swept(3000, halved(300), 16_000)).toEqual([]);
      // Two fifths of 4.8 kHz are 1.92 kHz; of 16 kHz 6.4.
      expect(swept(2900, halved(2000), 16_000)).toHaveLength(1);
      expect(swept(2900, halved(2000), 4800)).toEqual([]);
      // Four pieces are left out at either end: a break within them is none.
      expect(swept(3000, dip(atHz(400), atHz(400) + 0.016, 0.5), 16_000)).toEqual([]);
      expect(swept(3000, dip(atHz(3000) - 0.016, atHz(3000), 0.5), 16_000)).toEqual([]);
      expect(swept(390, halved(200), 16_000)).toEqual([]);
    });
  });
});
