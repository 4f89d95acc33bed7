import { describe, expect, it } from "vitest";
import { type CheckKind, findCheck } from "../../../src/diagnose/checks/check-kinds.js";
import { judgeCheck } from "../../../src/diagnose/checks/judge-check.js";
import { buildPathEvidence } from "../../../src/diagnose/path-evidence.js";
import { createBell, createHighShelf, createLowShelf } from "../../../src/diagnose/shapes.js";
import { buildOctaveGrid } from "../../../src/dsp/octave-grid.js";
import type { Measurement } from "../../../src/measure/types.js";
import { computeFamilyStats, groupFamilies } from "../../../src/rank/family-stats.js";
import { family, measurement, reading, response } from "../../helpers/families.js";
import { type Deviations, evidence } from "../../helpers/path-evidence.js";

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

// By hand: shares, weights and turns that each sentence names, each bound at it and just beside it.
describe("what is left of an oddity", () => {
  const level = (gain: number, more: Parameters<typeof measurement>[0] = {}) =>
    measurement({ gain: reading(gain), ...more });
  type Play = Readonly<{
    deviations?: Deviations;
    response?: (hz: number) => number;
    measured?: Measurement | undefined;
  }>;
  const x = buildOctaveGrid(24, 20, 20_000);
  const played = ({ deviations = {}, response, measured = level(0) }: Play) =>
    evidence(deviations, {
      measurement: measured,
      ...(response && {
        response: {
          x,
          y: x.map(response),
          spread: x.map(() => 0.2),
          uncertainty: x.map(() => 0.01),
        },
      }),
    });
  const hold = (check: string, first: Play, again: Play) =>
    judgeCheck(findCheck(check) as CheckKind, played(first), played(again));
  const outcome = (...of: Parameters<typeof hold>) => hold(...of).outcome;

  it("is gone below 0.35 of it, and stays above 0.65", () => {
    const left = (hiss: number) =>
      outcome("again", { deviations: { hiss: 20 } }, { deviations: { hiss } });
    expect([-20, 6.9, 7, 13, 13.1, 40].map(left)).toEqual([
      "gone",
      "gone",
      "unclear",
      "unclear",
      "stays",
      "stays",
    ]);
  });

  it("counts by how many spreads each stood out, 20 at most", () => {
    // 12 that stay of 12 and 20, for hiss that is 40 spreads up and gone: 0.375; of 10 and 20 0.333.
    const both = (gain: number) =>
      outcome("again", { deviations: { gain, hiss: 40 } }, { deviations: { gain, hiss: 0 } });
    expect([both(-12), both(-10)]).toEqual(["unclear", "gone"]);
  });

  it("tells nothing where nothing stood out, or nothing was measured", () => {
    const small = { deviations: { hiss: 3.5 } };
    expect(hold("again", small, small).figures).toEqual([{ code: "nothing-again" }]);
    const more = { deviations: { hiss: 3.6 } };
    expect(outcome("again", more, more)).toBe("stays");
    const none = evidence({});
    expect(judgeCheck(findCheck("again") as CheckKind, none, none).figures).toEqual([
      { code: "not-measured" },
    ]);
  });

  it("is of a response where five points in a row stand out, by how much of it is there again", () => {
    const run =
      (points: number, db = 1) =>
      (hz: number) => {
        const i = x.indexOf(hz);
        return i >= 40 && i < 40 + points ? db : 0;
      };
    const again = (first: (hz: number) => number, second: (hz: number) => number) =>
      outcome("again", { response: first }, { response: second });
    expect(again(run(4), run(4))).toBe("unclear");
    expect(again(run(5), run(5))).toBe("stays");
    expect(again(run(5, -1), run(5, -1))).toBe("stays");
    // 0.7 dB are three and a half spreads.
    expect([again(run(5, 0.7), run(5, 0.7)), again(run(5, 0.71), run(5, 0.71))]).toEqual([
      "unclear",
      "stays",
    ]);
    expect(again(run(5), run(5, 0.34))).toBe("gone");
    expect(again(run(5), run(5, 0.36))).toBe("unclear");
    expect(again(run(5), run(5, -1))).toBe("gone");
    // What was played again over other frequencies says nothing of it.
    const elsewhere = played({ response: run(5) });
    const other = elsewhere.response && { ...elsewhere.response, x: x.map((hz) => 1.001 * hz) };
    expect(
      judgeCheck(findCheck("again") as CheckKind, played({ response: run(5) }), {
        ...elsewhere,
        response: other,
      }).figures,
    ).toEqual([{ code: "nothing-again" }]);
    // Of its last points too.
    const last = (hz: number) => (x.indexOf(hz) >= x.length - 5 ? 1 : 0);
    expect(again(last, last)).toBe("stays");
  });

  it("weighs each point of a response by its spread, squared", () => {
    const at = [100, 200, 400, 800, 1600, 3200];
    const of = (last: number) =>
      evidence(
        {},
        {
          measurement: level(0),
          response: {
            x: at,
            y: at.map((_, k) => (k < 5 ? 10 : last)),
            spread: at.map((_, k) => (k < 5 ? 1 : 10)),
            uncertainty: at.map(() => 0.01),
          },
        },
      );
    // Five points of 10 dB are there again, one of 20 dB that is ten times less certain is not.
    expect(judgeCheck(findCheck("again") as CheckKind, of(20), of(0))).toEqual({
      outcome: "stays",
      figures: [{ code: "left", of: "response", share: expect.closeTo(500 / (500 + 4), 12) }],
    });
  });

  it("is asked of a switch that moved level or response by 0.3 dB; of marks in any case", () => {
    const low = { deviations: { gain: -9 } };
    const moved = (check: string, db: number) =>
      outcome(check, low, { deviations: { gain: -9 }, measured: level(db) });
    expect([0, 0.29, -0.29, 0.3, -0.3].map((db) => moved("low-cut", db))).toEqual([
      "idle",
      "idle",
      "idle",
      "stays",
      "stays",
    ]);
    expect(moved("marks", 0)).toBe("stays");
    const curve = (db: number) =>
      outcome("low-cut", { ...low, response: () => 0 }, { ...low, response: () => db });
    expect([curve(0.29), curve(0.31), curve(-0.31)]).toEqual(["idle", "stays", "stays"]);
  });

  it("is asked of level and response first where a switch sets these, and of all else where they are well", () => {
    const acts = { measured: level(-6) };
    const both = { deviations: { gain: -9, hiss: 20 } };
    // The level is right now; hiss is not the switch's.
    expect(outcome("low-cut", both, { deviations: { gain: 0, hiss: 20 }, ...acts })).toBe("gone");
    const hiss = { deviations: { hiss: 20 } };
    expect(outcome("low-cut", hiss, { ...hiss, ...acts })).toBe("stays");
  });

  it("is none of the level's where that was lowered on purpose, by 5 to 25 dB", () => {
    const first = { deviations: { gain: -9, thdHot: 20 } };
    const lowered = (db: number) =>
      hold("level-down", first, { deviations: { gain: -9, thdHot: 0 }, measured: level(db) });
    expect([-4.9, -5, -25, -25.1, 12].map((db) => lowered(db).outcome)).toEqual([
      "unclear",
      "gone",
      "gone",
      "unclear",
      "unclear",
    ]);
    expect(lowered(-4.9).figures).toEqual([{ code: "level-not-as-asked", db: -4.9 }]);
  });

  it("goes with a gain that is turned down where noise follows 0.65 of the turn, and not below 0.35", () => {
    const dbfs = (value: number) => reading(value, "dBFS", 0.1);
    const turned = (fell: number, by = -10, id: "hiss" | "noise" = "hiss") =>
      hold(
        "gain-down",
        { deviations: { [id]: 20 }, measured: level(0, { [id]: dbfs(-90) }) },
        { measured: level(by, { [id]: dbfs(-90 + fell) }) },
      );
    const of = (...own: Parameters<typeof turned>) => turned(...own).outcome;
    expect([-10, -6.6, -6.4, -3.6, -3.4, 5].map((fell) => of(fell))).toEqual([
      "gone",
      "gone",
      "unclear",
      "unclear",
      "stays",
      "stays",
    ]);
    expect(of(-10, -10, "noise")).toBe("gone");
    expect(of(-10, -20)).toBe("unclear");
    expect(turned(-10).figures).toEqual([
      { code: "turned", db: -10 },
      { code: "noise-moved", db: -10 },
    ]);
    expect([0.29, -0.29, 0.3, -4.9, -25.1, 9].map((by) => of(-10, by))).toEqual([
      "idle",
      "idle",
      "unclear",
      "unclear",
      "unclear",
      "unclear",
    ]);
    expect(turned(-10, 9).figures).toEqual([{ code: "gain-not-as-asked", db: 9 }]);
    // Neither the low end nor noise was out.
    const sound = hold("gain-down", {}, { measured: level(-10) });
    expect(sound.figures).toEqual([{ code: "neither-out" }]);
  });

  it("goes with it as well where a corner does, in proportion: 6.02 dB an octave", () => {
    const fall = (hz: number) => (at: number) =>
      -10 * Math.log10((1 + (hz / at) ** 2) / (1 + (hz / 1000) ** 2));
    const corner = (octaves: number) =>
      outcome(
        "gain-down",
        { response: fall(100) },
        { response: fall(100 / 2 ** octaves), measured: level(-12.04) },
      );
    // Of two octaves.
    expect([2, 1.35, 1.25, 0.75, 0.65, -1].map(corner)).toEqual([
      "gone",
      "gone",
      "unclear",
      "unclear",
      "stays",
      "stays",
    ]);
    // A low end that is up is no capacitor's.
    const lifted = hold(
      "gain-down",
      { response: (hz) => (hz < 60 ? 3 : 0) },
      { response: (hz) => (hz < 60 ? 3 : 0), measured: level(-12.04) },
    );
    expect(lifted.figures).toEqual([{ code: "neither-out" }]);
  });

  it("holds a pan against 2.3 to 6.7 dB, and sees the far side below −20", () => {
    const pan = (db: number) => hold("pan", {}, { measured: level(db) });
    expect([2.2, 2.3, 6.7, 6.8, -20].map((db) => pan(db).outcome)).toEqual([
      "idle",
      "stays",
      "stays",
      "idle",
      "idle",
    ]);
    expect(pan(-20.1).figures).toEqual([{ code: "far-side", db: -20.1 }]);
    expect(hold("pan", {}, { measured: measurement({}) }).figures).toEqual([{ code: "no-level" }]);
  });

  it("takes a band of an equaliser that goes 3 dB the way it was turned for one that acts", () => {
    const bands = (bass: number, middle: number, treble: number, gain = 0) =>
      hold(
        "bands",
        { response: () => 0 },
        {
          response: (hz) => (hz < 100 ? bass : hz > 9000 ? treble : middle) - gain,
          measured: level(gain),
        },
      );
    expect(bands(3, -3, 3).outcome).toBe("stays");
    for (const dead of [bands(2.9, -3, 3), bands(3, -2.9, 3), bands(3, -3, 2.9), bands(3, 3, 3)]) {
      expect(dead.outcome).toBe("idle");
    }
    // 1 kHz itself went down by 12 dB, and all of the response is relative to it.
    expect(bands(3, -12, 3, -12).outcome).toBe("stays");
    expect(bands(3, -12, 3, -12).figures).toEqual([
      { code: "band", band: "bass", db: 3 },
      { code: "band", band: "middle", db: -12 },
      { code: "band", band: "treble", db: 3 },
    ]);
    expect([bands(0.29, -0.29, 0.29).outcome, bands(0.3, 0, 0).outcome]).toEqual([
      "unclear",
      "idle",
    ]);
    expect(hold("bands", {}, {}).figures).toEqual([{ code: "no-response" }]);
    expect(hold("bands", { response: () => 0 }, {}).figures).toEqual([{ code: "no-response" }]);
  });
});

describe("what a check saw", () => {
  const x = [20, 30, 50, 70, 71, 249, 250, 1000, 6000, 6001, 10_999, 11_000, 18_000, 18_001];
  const curve = (y: readonly number[], at: readonly number[] = x) => ({
    x: at,
    y,
    spread: at.map(() => 0.1),
    uncertainty: at.map(() => 0),
  });
  const seen = (
    readings: Readonly<Record<string, number>>,
    deviations: Deviations = {},
    response?: ReturnType<typeof curve>,
  ) =>
    evidence(deviations, {
      measurement: measurement(
        Object.fromEntries(Object.entries(readings).map(([id, value]) => [id, reading(value)])),
      ),
      ...(response && { response }),
    });
  const of = (check: string, ...paths: readonly ReturnType<typeof evidence>[]) =>
    judgeCheck(findCheck(check) as CheckKind, paths[0], paths[1]);
  const unclear = (figure: object) => ({ outcome: "unclear", figures: [figure] });

  it("is why nothing is to be told", () => {
    const level = seen({ gain: 0 });
    expect(of("again", level, evidence({}))).toEqual(unclear({ code: "not-measured" }));
    expect(of("again", level, level)).toEqual(unclear({ code: "nothing-again" }));
    expect(of("pan", level, seen({}))).toEqual(unclear({ code: "no-level" }));
    expect(of("pan", level, seen({ gain: -21 }))).toEqual(unclear({ code: "far-side", db: -21 }));
    expect(of("bands", level, level)).toEqual(unclear({ code: "no-response" }));
    const flat = seen({ gain: 0 }, {}, curve(x.map(() => 0)));
    expect(of("bands", flat, level)).toEqual(unclear({ code: "no-response" }));
    expect(of("bands", level, flat)).toEqual(unclear({ code: "no-response" }));
    expect(of("gain-down", level, seen({ gain: -2 }))).toEqual(
      unclear({ code: "gain-not-as-asked", db: -2 }),
    );
    expect(of("gain-down", level, seen({}))).toEqual(unclear({ code: "gain-not-as-asked", db: 0 }));
    expect(of("gain-down", level, seen({ gain: -10 }))).toEqual(unclear({ code: "neither-out" }));
    expect(of("level-down", level, seen({ gain: -26 }))).toEqual(
      unclear({ code: "level-not-as-asked", db: -26 }),
    );
    expect(of("level-down", level, seen({}))).toEqual(
      unclear({ code: "level-not-as-asked", db: 0 }),
    );
  });

  it("is by how much level and noise moved", () => {
    const level = seen({ gain: 0 });
    expect(of("pan", level, seen({ gain: 4 }))).toEqual({
      outcome: "stays",
      figures: [{ code: "level-moved", db: 4 }],
    });
    expect(of("pan", level, seen({ gain: 0.5 })).outcome).toBe("idle");
    expect(of("gain-down", level, seen({ gain: 0.2 }))).toEqual({
      outcome: "idle",
      figures: [{ code: "gain-moved", db: 0.2 }],
    });
    expect(of("low-cut", level, level)).toEqual({
      outcome: "idle",
      figures: [{ code: "moved-less", thanDb: 0.3 }],
    });
    // 7 of 10 dB are followed, of 5 dB one half, of 10 dB one.
    const noisy = seen({ gain: 0, hiss: -90 }, { hiss: 9 });
    const turned = (gain: number, hiss: number) => of("gain-down", noisy, seen({ gain, hiss }));
    const figures = (db: number, noiseDb: number) => [
      { code: "turned", db },
      { code: "noise-moved", db: noiseDb },
    ];
    expect(turned(-10, -97)).toEqual({ outcome: "gone", figures: figures(-10, -7) });
    expect(turned(-6, -93)).toEqual({ outcome: "unclear", figures: figures(-6, -3) });
    expect(turned(-10, -91)).toEqual({ outcome: "stays", figures: figures(-10, -1) });
  });

  it("is what is left of each that stood out, weighed by how far it did", () => {
    const before = seen({ gain: 0, hiss: 0 }, { gain: -10, hiss: 5 });
    // 10 · 0.2 and 5 · 1 of 15: 0.47.
    expect(of("again", before, seen({ gain: 0 }, { gain: -2, hiss: 6 }))).toEqual({
      outcome: "unclear",
      figures: [
        { code: "left", of: "gain", share: 0.2 },
        { code: "left", of: "hiss", share: 1 },
      ],
    });
    // What went past the siblings is gone, not turned round.
    expect(of("again", before, seen({ gain: 0 }, { gain: 4 }))).toEqual({
      outcome: "gone",
      figures: [{ code: "left", of: "gain", share: 0 }],
    });
  });

  it("is how far each band of an equaliser went the way it was turned", () => {
    // Bass to 70 Hz and treble from 11 to 18 kHz up, the middle from 250 Hz to 6 kHz down; what lies
    // between them counts for none.
    const lifted = (hz: number) =>
      hz < 30 || hz > 18_000 || (hz > 70 && hz < 250) || (hz > 6000 && hz < 11_000)
        ? 40
        : hz <= 70
          ? hz / 10
          : hz <= 6000
            ? -hz / 1000
            : hz / 2000;
    const flat = seen({ gain: 0 }, {}, curve(x.map(() => 1)));
    const again = (gain: number, y: (hz: number) => number, at: readonly number[] = x) =>
      of("bands", flat, seen({ gain }, {}, curve(at.map(y), at)));
    const band = (name: string, db?: number) => ({
      code: "band",
      band: name,
      ...(db === undefined ? {} : { db: expect.closeTo(db, 9) }),
    });
    // Relative to the 1 dB before, and to 1 kHz, which went 2 dB down with the middle.
    expect(again(-2, (hz) => lifted(hz) + 1)).toEqual({
      outcome: "stays",
      figures: [band("bass", 5), band("middle", -8), band("treble", 7)],
    });
    // 3 dB of bass are a band that acts, less is none that does.
    expect(again(-4, (hz) => lifted(hz) + 1).outcome).toBe("stays");
    expect(again(-4.1, (hz) => lifted(hz) + 1).outcome).toBe("idle");
    // A sweep that ends at 6 kHz says nothing of the treble.
    const short = x.filter((hz) => hz <= 6000);
    expect(again(-2, (hz) => lifted(hz) + 1, short)).toEqual({
      outcome: "stays",
      figures: [band("bass", 5), band("middle", -8), band("treble")],
    });
    expect(again(0, () => 1.29)).toEqual(
      unclear({
        code: "no-band-acts",
        bands: [
          { band: "bass", db: expect.closeTo(0.29, 9) },
          { band: "middle", db: expect.closeTo(0.29, 9) },
          { band: "treble", db: expect.closeTo(0.29, 9) },
        ],
      }),
    );
    expect(again(0, () => 1.31).outcome).toBe("idle");
  });
});
