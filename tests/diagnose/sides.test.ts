import { describe, expect, it } from "vitest";
import { rankAndDiagnose } from "../../src/analysis/judge/rank-and-diagnose.js";
import type { Measurement, Reading } from "../../src/measure/types.js";
import { measurement, reading, response } from "../helpers/families.js";
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

  it("on one side says nothing of where it is while nobody knows how the strip is built", () => {
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
