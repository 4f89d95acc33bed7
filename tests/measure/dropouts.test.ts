import { describe, expect, it } from "vitest";
import { findReturns } from "../../src/capture/find.js";
import { sliceReturn } from "../../src/capture/slice.js";
import { measureReturn } from "../../src/measure/measure.js";
import type { Mark } from "../../src/measure/types.js";
import { signalTable } from "../../src/signal/profiles.js";
import type { Profile } from "../../src/signal/table.js";
import { addNoise, addReturn, memoryReader } from "../helpers/captures.js";

const beforeS = 0.5;

interface Slip {
  /** Seconds of the signal. */
  readonly atS: number;
  /** Samples repeated, or lost when negative. */
  readonly samples: number;
}

/** A capture as a recorder with dropouts writes it. */
function recorded(profile: Profile, slips: readonly Slip[], rate: number, driftPpm: number) {
  const table = signalTable(profile, "base");
  const whole = new Float64Array(Math.round((table.lengthS + 2 * beforeS) * rate));
  addReturn(whole, table, rate, beforeS * rate + 0.3, driftPpm, 0.8);
  addNoise(whole, 2e-5, 3);
  return slips.reduce((samples, { atS, samples: count }) => {
    const at = Math.round((beforeS + atS) * rate);
    const again = count > 0 ? samples.subarray(at - count, at) : new Float64Array(0);
    const rest = samples.subarray(count < 0 ? at - count : at);
    return Float64Array.from([...samples.subarray(0, at), ...again, ...rest]);
  }, whole);
}

function marksOf(samples: Float64Array, rate: number): readonly Mark[] {
  const reader = memoryReader([samples], rate);
  const [found] = findReturns(reader).returns;
  const table = signalTable(found.profile, found.band);
  return measureReturn({ ...sliceReturn(reader, found), table, mainsHz: 50 }).marks ?? [];
}

const dropouts = (marks: readonly Mark[]) => marks.filter((m) => m.kind === "dropout");
const startOf = (profile: Profile, name: string) =>
  signalTable(profile, "base").segments.find((s) => s.name === name)?.startS ?? 0;

describe("dropouts", () => {
  it("are none where the clocks differ and nothing was lost", () => {
    for (const [rate, ppm] of [
      [48_000, 0],
      [44_100, 180],
      [48_000, -180],
    ]) {
      expect(dropouts(marksOf(recorded("quick", [], rate, ppm), rate))).toEqual([]);
    }
  });

  it("are told with their time where the recorder held a value in the sweep", () => {
    // 10 ms, as long as a lost buffer of 480 samples; put in at a known sample.
    const atS = startOf("quick", "sweep") + 1.2;
    const samples = recorded("quick", [], 48_000, 25);
    const at = Math.round((beforeS + atS) * 48_000);
    const [mark, ...more] = dropouts(marksOf(samples.fill(0, at, at + 480), 48_000));
    expect(more).toEqual([]);
    expect(mark).toMatchObject({ what: "held", samples: 480 });
    expect(Math.abs(mark.atS - atS)).toBeLessThan(0.002);
  });

  it.each([
    ["quick", 0.25, "its last value"],
    ["quick", 0.5, "zero"],
    ["standard", 0.4, "its last value"],
    ["standard", 1.3, "zero"],
    ["standard", 2.4, "its last value"],
  ] as const)("are told in the low part of a %s sweep, at %d s, held at %s", (profile, s, what) => {
    const atS = startOf(profile, "sweep") + s;
    const samples = recorded(profile, [], 48_000, 25);
    const at = Math.round((beforeS + atS) * 48_000);
    samples.fill(what === "zero" ? 0 : samples[at - 1], at, at + 144);
    const [mark, ...more] = dropouts(marksOf(samples, 48_000));
    expect(more).toEqual([]);
    expect(mark).toMatchObject({ what: "held" });
    expect(Math.abs(mark.atS - atS)).toBeLessThan(0.002);
  });

  it.each([
    ["clipped", (x: number) => Math.max(-0.06, Math.min(0.03, x))],
    ["clipped on one side", (x: number) => Math.min(0.004, x)],
    ["with a dead zone", (x: number) => Math.sign(x) * Math.max(0, Math.abs(x) - 0.02)],
    ["rectified", (x: number) => Math.max(0, x)],
  ])("are none in a waveform %s without any noise", (_, bent) => {
    const table = signalTable("standard", "base");
    const samples = new Float64Array(Math.round((table.lengthS + 2 * beforeS) * 48_000));
    addReturn(samples, table, 48_000, beforeS * 48_000 + 0.3, 0, 0.8);
    const markers = samples.slice();
    const sweep = Math.round((beforeS + startOf("standard", "sweep")) * 48_000);
    for (let n = sweep; n < sweep + 5 * 48_000; n++) {
      markers[n] = Math.round(bent(samples[n]) * 2 ** 23) / 2 ** 23;
    }
    expect(dropouts(marksOf(markers, 48_000))).toEqual([]);
  });

  it.each([-1, 3, -64, 30])(
    "are told with their time where they fall into a tone (%i samples)",
    (samples) => {
      const atS = startOf("standard", "tone-1k") + 0.4;
      const [mark, ...more] = dropouts(
        marksOf(recorded("standard", [{ atS, samples }], 48_000, 25), 48_000),
      );
      expect(more).toEqual([]);
      expect(mark).toMatchObject({
        what: samples < 0 ? "lost" : "repeated",
        samples: Math.abs(samples),
      });
      if (mark.kind !== "dropout") throw new Error(mark.kind);
      expect(mark.atS).toBeLessThan(atS);
      expect(mark.untilS).toBeGreaterThan(atS);
      expect(mark.untilS - mark.atS).toBeLessThan(0.03);
    },
  );

  it.each([
    ["before the sweep", 1.5, 2],
    ["late in the sweep", 6.2, -5],
    ["after the tone", 8.5, -100],
  ])("are told between two hearings of 1 kHz, or the markers, %s", (_, atS, samples) => {
    const [mark, ...more] = dropouts(
      marksOf(recorded("standard", [{ atS, samples }], 48_000, -12), 48_000),
    );
    expect(more).toEqual([]);
    expect(mark).toMatchObject({
      what: samples < 0 ? "lost" : "repeated",
      samples: Math.abs(samples),
    });
    if (mark.kind !== "dropout") throw new Error(mark.kind);
    expect(mark.atS).toBeLessThan(atS);
    expect(mark.untilS).toBeGreaterThan(atS);
  });

  it("are told where the recorder held a value", () => {
    const samples = recorded("quick", [], 48_000, 0);
    const atS = startOf("quick", "tone-1k") + 0.3;
    const from = Math.round((beforeS + atS) * 48_000);
    samples.fill(samples[from], from, from + 40);
    const [mark] = dropouts(marksOf(samples, 48_000));
    expect(mark).toMatchObject({ what: "held", samples: 40 });
    expect(mark.atS).toBeCloseTo(atS, 3);
  });

  it("are not taken for what a dirty contact does to the level", () => {
    const samples = recorded("quick", [], 48_000, 0);
    const from = Math.round((beforeS + startOf("quick", "tone-1k") + 0.25) * 48_000);
    // the contact opens for 30 ms
    for (let n = from; n < from + 1440; n++) samples[n] *= 0.001;
    expect(dropouts(marksOf(samples, 48_000))).toEqual([]);
  });
});

describe("clipping", () => {
  it("is told with its times", () => {
    const samples = recorded("quick", [], 48_000, 0).map((x) => 12 * x);
    const clipped = samples.map((x) => Math.max(-1, Math.min(1, x)));
    const marks = marksOf(clipped, 48_000).filter((m) => m.kind === "clipped");
    const steps = startOf("quick", "steps-1k");
    expect(marks.some((m) => m.atS > steps && m.atS < steps + 0.05)).toBe(true);
  });
});
