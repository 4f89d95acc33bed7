import { describe, expect, it } from "vitest";
import { rankAndDiagnose } from "../../src/analysis/judge/rank-and-diagnose.js";
import type { StageRole } from "../../src/desk/stage-role.js";
import type { Prediction } from "../../src/diagnose/cause-kind.js";
import { computeSideNats } from "../../src/diagnose/sides.js";
import type { Measurement, Reading } from "../../src/measure/types.js";
import { measurement, reading, response } from "../helpers/families.js";
import { type Deviations, evidence, featuresOf } from "../helpers/path-evidence.js";
import { slow } from "../helpers/slow.js";

// Expected: what stands before the pan of a strip is on both sides of the bus, what stands behind it on
// one (how a strip is built; no published source).

const sound: Record<string, Reading> = {
  gain: reading(0, "dB", 0.02),
  hiss: reading(-100, "dBFS", 0.1),
  noise: reading(-99.9, "dBFS", 0.1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  imd: reading(-92),
};
const flat = () => 0;
/** A second-order bell, +8 dB at 2 kHz, Q 1: (1−x²)²+(gx/Q)² over (1−x²)²+(x/Q)². */
const bell = (hz: number) => {
  const x = (hz / 2000) ** 2;
  const db = (of: number) => 10 * Math.log10((1 - x) ** 2 + of * x);
  return db(10 ** 0.8) - db(1);
};
const pole = (hz: number) => -10 * Math.log10(1 + (hz / 9000) ** 2);

/** A bell lifts 1 kHz too, at which the gain is read. */
const lifted = { db: bell, readings: { gain: reading(bell(1000), "dB", 0.02) } };

interface Side {
  readonly db?: (hz: number) => number;
  readonly readings?: Readonly<Record<string, Reading>>;
}

function stereo(left: Side, right: Side): Measurement {
  const side = ({ db = flat, readings = {} }: Side) =>
    measurement({ ...sound, ...readings }, { response: response(db) });
  const { readings, absent, curves } = side(right);
  const one = side(left);
  const balance = reading(0, "dB", 0.02);
  return {
    ...one,
    readings: { ...one.readings, balance },
    partner: { side: "right", readings, absent, curves },
  };
}

const panned = ["line socket", "line input stage", "equaliser", "fader", "pan and bus resistors"];

function causesOf(odd: Measurement, stages: readonly string[] = panned, whole = stereo({}, {})) {
  const strips = Array.from({ length: 10 }, (_, k) => String(k + 1));
  const paths = strips.map((strip) => ({
    path: `${strip}/line`,
    strip,
    input: "line",
    family: "line",
  }));
  const desk = {
    paths,
    strips,
    inputs: [{ name: "line", nominalDbu: 4, setup: "" }],
    flow: { stages: { line: stages }, shared: [] },
  };
  const recorded = paths.map(({ path, family }, i) => ({
    path,
    family,
    measurement: i === 4 ? odd : whole,
  }));
  return rankAndDiagnose(desk, recorded).paths[4].causes.map(({ cause }) => cause);
}

describe("a bell", () => {
  it("on both sides is an equaliser's", () => {
    expect(causesOf(stereo(lifted, lifted))[0]).toBe("equaliser-left-in");
  });

  it("on one side is none of an equaliser before the pan", slow, () => {
    for (const odd of [stereo(lifted, {}), stereo({}, lifted)]) {
      expect(causesOf(odd)).not.toContain("equaliser-left-in");
    }
  });

  it("on one side may be an equaliser's in a strip whose sides have one each", () => {
    const stages = ["stereo line input stage", "equaliser", "balance"];
    expect(causesOf(stereo(lifted, {}), stages)[0]).toBe("equaliser-left-in");
  });

  it("on one side says nothing about where it is while nobody knows how the strip is built", () => {
    expect(causesOf(stereo(lifted, {}), ["line socket", "fader"])[0]).toBe("equaliser-left-in");
  });
});

describe("a loss of level", () => {
  const down = { gain: reading(-6, "dB", 0.02), hiss: reading(-104, "dBFS", 0.2) };
  const up = { gain: reading(2.5, "dB", 0.02), hiss: reading(-98, "dBFS", 0.2) };

  it("on one side alone is in the leg to that side", () => {
    expect(causesOf(stereo({ readings: down }, {}))[0]).toBe("send-or-pan-faulty");
    expect(causesOf(stereo({ readings: down }, {}))).not.toContain("open-leg");
  });

  it("on one side and a gain on the other are a pan off its mark", () => {
    expect(causesOf(stereo({ readings: down }, { readings: up }))[0]).toBe("gain-off");
  });

  it("on both sides is before the pan", () => {
    const both = causesOf(stereo({ readings: down }, { readings: down }));
    expect(both).not.toContain("send-or-pan-faulty");
  });
});

it("a pole in the treble of one side is in the wiring behind the pan", () => {
  expect(causesOf(stereo({}, { db: pole }))[0]).toBe("high-loss");
});

it("a silent side beside one that is heard is no dead stage, and nothing that was not patched", () => {
  const bound: Reading = { ...reading(90), uncertainty: 6, bound: "lower", limitedBy: "noise" };
  const odd = stereo({}, {});
  const silent = { ...odd, readings: { ...odd.readings, balance: bound } };
  const named = causesOf(silent);
  expect(named[0]).toBe("send-or-pan-faulty");
  expect(named).not.toContain("no-signal");
  expect(named).not.toContain("nothing-patched");
});

// Closed forms: what the other side says is Student's t of each reading there about what a cause before
// the pan makes of it, or about nought behind it, mixed by how often it is which; ln(1 + t²/4)·(−2.5).
describe("the nats of the other side", () => {
  const t4 = (off: number, spread: number, expected = 0) =>
    -2.5 * Math.log1p((off / Math.hypot(spread, 0.12 * expected)) ** 2 / 4);
  const mixed = (...places: readonly (readonly [share: number, nats: number])[]) =>
    Math.log(places.reduce((sum, [share, nats]) => sum + share * Math.exp(nats), 0));
  const path = (here: Deviations, there: Deviations, responses?: readonly number[]) => {
    const x = Array.from({ length: 33 }, (_, k) => 25 * 2 ** (k / 24));
    const of = (db: number) => ({
      x,
      y: x.map(() => db),
      spread: x.map(() => 0.5),
      uncertainty: x.map(() => 0),
    });
    return evidence(here, {
      ...(responses && { response: of(responses[0]) }),
      beside: {
        heard: true,
        features: featuresOf(there),
        response: responses && of(responses[1]),
      },
    });
  };
  const cause = (
    kind: "fault" | "patch" | "capture" | "setting",
    seat: readonly StageRole[] | undefined,
    prediction: Partial<Prediction> = { moves: { gain: [-6, -6] } },
  ) => ({
    kind: { kind, ...(seat && { seat }) },
    prediction: { moves: {}, evidence: [], ...prediction },
  });

  it("are none without another side", () => {
    expect(computeSideNats(evidence({ gain: -6 }), [cause("fault", ["fader"])])).toBe(0);
  });

  it("of what is before the pan are those of the same there, but for 12 % of it", () => {
    for (const one of [
      cause("fault", ["fader"]),
      cause("patch", undefined),
      cause("capture", ["pan"]),
    ]) {
      expect(computeSideNats(path({ gain: -6 }, { gain: -6 }), [one])).toBeCloseTo(0, 9);
      expect(computeSideNats(path({ gain: -6 }, { gain: -4 }), [one])).toBeCloseTo(t4(2, 1, 6), 9);
    }
  });

  it("of what is behind the pan are those of nothing there", () => {
    for (const seat of [["send"], ["pan", "send", "routing"]] as const) {
      const one = cause("fault", seat);
      expect(computeSideNats(path({ gain: -6 }, { gain: 0 }), [one])).toBeCloseTo(0, 9);
      expect(computeSideNats(path({ gain: -6 }, { gain: -6 }), [one])).toBeCloseTo(t4(6, 1), 9);
    }
  });

  it("of what may sit anywhere are four in five before the pan", () => {
    for (const seat of [undefined, ["fader", "send"]] as const) {
      const nats = computeSideNats(path({ gain: -6 }, { gain: 0 }), [cause("fault", seat)]);
      expect(nats).toBeCloseTo(mixed([0.8, t4(6, 1, 6)], [0.2, 0]), 9);
    }
  });

  it("of a pan are two in five its own: apart where the other side went up, or one side alone", () => {
    const pan = cause("setting", ["fader", "pan"]);
    const nats = (there: number) => computeSideNats(path({ gain: -6 }, { gain: there }), [pan]);
    // 3 spreads are moved; what moves apart says nothing of how far.
    expect(nats(3)).toBeCloseTo(mixed([0.6, t4(9, 1, 6)], [0.4, 0]), 9);
    expect(nats(2.9)).toBeCloseTo(mixed([0.6, t4(8.9, 1, 6)], [0.1, t4(2.9, 1)]), 9);
    expect(nats(-3)).toBeCloseTo(mixed([0.6, t4(3, 1, 6)], [0.1, t4(3, 1)]), 9);
  });

  it("of no known cause are those of anything, before the pan or behind it", () => {
    const nats = computeSideNats(path({ gain: -6 }, { gain: -6 }), []);
    expect(nats).toBeCloseTo(mixed([0.8, 0], [0.2, t4(6, 1)]), 9);
  });

  it("of two causes take each for what it explains", () => {
    // 4 dB of the fader's are there too, 5 dB of the leg's are not.
    const both = [
      cause("fault", ["fader"], { moves: { gain: [-4, 0] } }),
      cause("fault", ["send"], { moves: { gain: [-60, 0] } }),
    ];
    const nats = computeSideNats(path({ gain: -9 }, { gain: -5 }), both);
    expect(nats).toBeCloseTo(t4(1, 1, 4), 9);
    const turned = computeSideNats(path({ gain: -9 }, { gain: -5 }), [...both].reverse());
    // The leg's is asked first, and takes all of it.
    expect(turned).toBeCloseTo(t4(5, 1), 9);
  });

  it("of a response count it as eight readings", () => {
    const before = cause("fault", ["fader"], { response: () => -3 });
    const same = computeSideNats(path({}, {}, [-3, -3]), [before]);
    const flat = computeSideNats(path({}, {}, [-3, 0]), [before]);
    expect([same, flat]).toEqual([expect.closeTo(0, 9), expect.closeTo(8 * t4(3, 0.5, 3), 9)]);
    const behind = cause("fault", ["send"], { response: () => -3 });
    expect(computeSideNats(path({}, {}, [-3, 0]), [behind])).toBeCloseTo(0, 9);
    expect(computeSideNats(path({}, {}, [-3, 2]), [behind])).toBeCloseTo(8 * t4(2, 0.5), 9);
    // Of two, the response of the one that is before the pan alone.
    const two = computeSideNats(path({}, {}, [-5, -3]), [
      before,
      cause("fault", ["send"], { response: () => -2 }),
    ]);
    expect(two).toBeCloseTo(0, 9);
  });

  it("compare responses from 20 Hz on, at frequencies that both have", () => {
    // Every eighth point of this side: 19, 20, 100 and 1000 Hz.
    const sampled = [19, 20, 100, 1000];
    const own = sampled.flatMap((hz) => [hz, ...Array.from({ length: 7 }, (_, k) => hz + k / 9)]);
    const of = (x: readonly number[], y: (hz: number) => number) => ({
      x,
      y: x.map(y),
      spread: x.map(() => 0.5),
      uncertainty: x.map(() => 0),
    });
    const side = (there: readonly number[], y: (hz: number) => number) =>
      evidence(
        {},
        {
          response: of(own, () => -3),
          beside: { heard: true, features: new Map(), response: of(there, y) },
        },
      );
    const before = cause("fault", ["fader"], { response: () => -3 });
    // The same at 20 Hz, 3 dB less at 100 Hz, wherever those stand, and what lies beneath does not count.
    const beside = side([19, 20, 100], (hz) => (hz === 19 ? 50 : hz === 20 ? -3 : 0));
    expect(computeSideNats(beside, [before])).toBeCloseTo((8 * t4(3, 0.5, 3)) / 2, 9);
    const none = side([21, 22], () => 50);
    expect(computeSideNats(none, [before])).toBeCloseTo(0, 9);
    // A cause that bends nothing has no response to be there too.
    const bare = [cause("fault", ["fader"]), cause("fault", ["send"], { response: () => -3 })];
    const flat = side([20, 100], () => 0);
    expect(computeSideNats(flat, bare)).toBeCloseTo(0, 9);
    const { response: _, ...silent } = beside.beside ?? { heard: true, features: new Map() };
    const without = { ...beside, beside: { ...silent, response: undefined } };
    expect(computeSideNats(without, [before])).toBeCloseTo(0, 9);
  });

  it("of a pan that may be apart are told by a level on both sides, moved by three spreads", () => {
    const pan = cause("setting", ["fader", "pan"], { moves: {} });
    const nats = (there: ReturnType<typeof featuresOf>) =>
      computeSideNats(
        {
          ...path({ gain: -6 }, {}),
          beside: { heard: true, features: there, response: undefined },
        },
        [pan],
      );
    // Six tenths before the pan, the rest on one side a quarter of the time: nothing else to tell by.
    expect(nats(new Map())).toBeCloseTo(Math.log(0.6 + 0.1), 9);
    const there = (db: number) =>
      mixed([0.6, t4(db + 6, 2, 6)], [db >= 6 ? 0.4 : 0.1, db >= 6 ? 0 : t4(db, 2)]);
    for (const db of [5.9, 6]) expect(nats(featuresOf({ gain: db }, 2))).toBeCloseTo(there(db), 9);
  });

  it("are never worth more than 60 against causes", () => {
    const far = path({ gain: -6, hiss: 0 }, { gain: 1e9, hiss: 1e9 });
    expect(computeSideNats(far, [cause("fault", ["send"])])).toBe(-60);
  });
});
