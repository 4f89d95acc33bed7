import { describe, expect, it } from "vitest";
import { summarizeBreaks } from "../../../src/diagnose/level-breaks.js";
import { listLevelBreaks } from "../../../src/measure/integrity/level-breaks.js";
import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { formatEvidence } from "../../../src/report/evidence/format-evidence.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn } from "../../helpers/captures.js";

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
