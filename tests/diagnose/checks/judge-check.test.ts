import { describe, expect, it } from "vitest";
import { type CheckKind, findCheck } from "../../../src/diagnose/checks/check-kinds.js";
import { judgeCheck } from "../../../src/diagnose/checks/judge-check.js";
import { buildPathEvidence } from "../../../src/diagnose/path-evidence.js";
import { createBell, createHighShelf, createLowShelf } from "../../../src/diagnose/shapes.js";
import type { Measurement } from "../../../src/measure/types.js";
import { computeFamilyStats, groupFamilies } from "../../../src/rank/family-stats.js";
import { family, measurement, reading, response } from "../../helpers/families.js";

// Expected values: closed forms of the circuits named in each test (first-order high-pass, its corner
// in inverse proportion to the resistance it works into; a filter of third order; a bell).

const readings = {
  gain: reading(0),
  hiss: reading(-105, "dBFS", 0.1),
  noise: reading(-105, "dBFS", 0.1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  imd: reading(-92),
};
const highPass =
  (corner: number, order = 1) =>
  (hz: number) =>
    -10 * Math.log10(1 + (corner / hz) ** (2 * order));
const own = highPass(3);
const path = (changes: Partial<typeof readings>, db: (hz: number) => number = own) =>
  measurement({ ...readings, ...changes, cornerLow: reading(3, "Hz") }, { response: response(db) });
const healthy = path({});
const plus =
  (...shapes: readonly ((hz: number) => number)[]) =>
  (hz: number) =>
    shapes.reduce((sum, shape) => sum + shape(hz), 0);

function judge(check: string, first: Measurement, again: Measurement) {
  const inputs = family([first, ...Array.from({ length: 11 }, () => healthy)]);
  const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
  const before = buildPathEvidence(inputs[0], [], { usual });
  const after = buildPathEvidence({ ...inputs[0], measurement: again }, [], { usual });
  return judgeCheck(findCheck(check) as CheckKind, before, after).outcome;
}

const lowCut = highPass(80, 3);
const dry = highPass(50);

describe("a second play", () => {
  it("asks of what stood out, and not of a ripple of the response that stood out of nothing", () => {
    // 0.01 dB of ripple, the same both times; 15 dB of hiss, gone the second time.
    const ripple = plus(own, (hz) => 0.01 * Math.sin(9 * Math.log2(hz)));
    const noisy = { hiss: reading(-90, "dBFS", 0.1) };
    expect(judge("other-input", path(noisy, ripple), path({}, ripple))).toBe("gone");
    expect(judge("other-input", path(noisy, ripple), path(noisy, ripple))).toBe("stays");
  });

  it("tells nothing where what stood out was not measured again", () => {
    const noisy = path({ hiss: reading(-90, "dBFS", 0.1), noise: reading(-90, "dBFS", 0.1) });
    const { gain, thd } = readings;
    expect(judge("other-input", noisy, measurement({ gain, thd }))).toBe("unclear");
  });

  it("tells a low-cut that was in from a dry capacitor beneath one that was out", () => {
    expect(judge("low-cut", path({}, plus(own, lowCut)), healthy)).toBe("gone");
    expect(judge("low-cut", path({}, dry), path({}, plus(dry, lowCut)))).toBe("stays");
  });

  it("asks of what stood out besides, where level and response were as the siblings'", () => {
    const noisy = { hiss: reading(-90, "dBFS", 0.1) };
    const cut = plus(own, lowCut);
    expect(judge("low-cut", path(noisy), path(noisy, cut))).toBe("stays");
    expect(judge("low-cut", path(noisy), path({}, cut))).toBe("gone");
  });

  it("says that a switch changes nothing, and lays nothing else to it", () => {
    expect(judge("low-cut", path({}, dry), path({}, dry))).toBe("idle");
    expect(judge("pad", path({ gain: reading(-6) }), path({ gain: reading(-6) }))).toBe("idle");
  });

  it("tells a corner that goes with the gain from one that stays", () => {
    const first = path({}, dry);
    // 10 dB less gain: a resistance √10 times as large under the capacitor.
    const leg = path({ gain: reading(-10) }, highPass(50 / Math.sqrt(10)));
    const coupling = path({ gain: reading(-10) }, dry);
    expect(judge("gain-down", first, leg)).toBe("gone");
    expect(judge("gain-down", first, coupling)).toBe("stays");
    expect(judge("gain-down", first, first)).toBe("idle");
    // Two decibels are no answer to a question about ten.
    expect(judge("gain-down", first, path({ gain: reading(-2) }, dry))).toBe("unclear");
  });

  it("tells noise of the first stage from that of a later one", () => {
    const noisy = { hiss: reading(-90, "dBFS", 0.1), noise: reading(-90, "dBFS", 0.1) };
    const turned = { gain: reading(-10) };
    const fell = { hiss: reading(-100, "dBFS", 0.1), noise: reading(-100, "dBFS", 0.1) };
    expect(judge("gain-down", path(noisy), path({ ...turned, ...fell }))).toBe("gone");
    expect(judge("gain-down", path(noisy), path({ ...turned, ...noisy }))).toBe("stays");
  });

  it("tells clipping, which a lower level leaves behind, from a contact's film", () => {
    const clips = path({ thd: reading(-60), thdHot: reading(-20) });
    const below = { gain: reading(-12), thd: reading(-89), thdHot: reading(-78) };
    expect(judge("level-down", clips, path(below))).toBe("gone");
    const film = path({ thd: reading(-60), thdHot: reading(-70) });
    const worse = path({ gain: reading(-12), thd: reading(-50), thdHot: reading(-62) });
    expect(judge("level-down", film, worse)).toBe("stays");
    expect(judge("level-down", film, film)).toBe("unclear");
  });

  it("finds a band that does nothing, and asks whether the equaliser was in where none does", () => {
    const lift = (from: number, to: number, db: number) => (hz: number) =>
      hz >= from && hz <= to ? db : 0;
    const all = [lift(20, 200, 12), lift(300, 5000, -12), lift(7000, 20_000, 12)];
    const at1k = { gain: reading(-12) };
    expect(judge("bands", healthy, path(at1k, plus(own, ...all)))).toBe("stays");
    const noTreble = path(at1k, plus(own, all[0], all[1]));
    expect(judge("bands", healthy, noTreble)).toBe("idle");
    expect(judge("bands", healthy, healthy)).toBe("unclear");
  });

  it.each([
    { middle: 400, q: 1 },
    { middle: 1000, q: 0.7 },
    { middle: 3000, q: 0.7 },
    { middle: 5000, q: 2 },
  ])("knows a dead band beside two of 15 dB, whose flanks reach far: $middle Hz", (mid) => {
    // Closed forms of shelves and bells (shapes.ts), each by itself 0 dB far from its place.
    const bands = {
      bass: createLowShelf(100, 15),
      middle: createBell(mid.middle, mid.q, -15),
      treble: createHighShelf(10_000, 15),
    };
    const lifted = (names: readonly (keyof typeof bands)[]) => {
      const own = names.map((name) => bands[name]);
      const gain = own.reduce((sum, { at1kDb }) => sum + at1kDb, 0);
      return path({ gain: reading(gain) }, (hz) => own.reduce((sum, of) => sum + of(hz), 0));
    };
    const flat = path({}, () => 0);
    expect(judge("bands", flat, lifted(["bass", "middle", "treble"]))).toBe("stays");
    expect(judge("bands", flat, lifted(["bass", "treble"])), "middle").toBe("idle");
    expect(judge("bands", flat, lifted(["middle", "treble"])), "bass").toBe("idle");
    expect(judge("bands", flat, lifted(["bass", "middle"])), "treble").toBe("idle");
  });

  it("holds a pan against the laws of 3 to 6 dB", () => {
    for (const db of [3, 4.5, 6]) {
      expect(judge("pan", healthy, path({ gain: reading(db) })), `${db}`).toBe("stays");
    }
    for (const db of [0, 1, 9]) {
      expect(judge("pan", healthy, path({ gain: reading(db) })), `${db}`).toBe("idle");
    }
    expect(judge("pan", healthy, path({ gain: reading(-60) }))).toBe("unclear");
  });

  it("says nothing where half of it is left", () => {
    const half = (hz: number) => 0.5 * dry(hz) + 0.5 * own(hz);
    expect(judge("again", path({}, dry), path({}, half))).toBe("unclear");
  });
});
