import { beforeAll, describe, expect, it } from "vitest";
import { measureControls } from "../../src/measure/controls/controls.js";
import type { ControlReport } from "../../src/measure/controls/types.js";
import { measureReturn } from "../../src/measure/measure.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import type { ControlAction, SignalTable } from "../../src/signal/types.js";
import { simulateControlsPass } from "../../src/simulate/controls/pass.js";
import type {
  VirtualControl,
  VirtualPot,
  VirtualSwitch,
} from "../../src/simulate/controls/types.js";
import { virtualDesk } from "../../src/simulate/desk.js";
import { createRng, uniform } from "../../src/simulate/rng.js";
import { assertMade } from "../helpers/made.js";
import { slow } from "../helpers/slow.js";

// Expected: what was put into the virtual controls, which share no figure with the measuring. The
// hand begins up to 1.8 s late, at moments and speeds drawn anew for every seed.

const rate = 44_100;

const soundPot: VirtualPot = {
  kind: "pot",
  markAt: 0.6,
  lowDb: -25,
  highDb: 12,
  roughness: 2e-5,
  wornZones: 0,
  zoneWidth: 0.01,
  wornOhmParts: 0,
  directV: 0,
};
const soundSwitch: VirtualSwitch = {
  kind: "switch",
  inDb: 0,
  travelS: 0.005,
  lapses: 0,
  lapseS: 0.05,
  lapseOhmParts: 0,
};

function passOf(
  seed: number,
  controls: readonly (readonly [string, ControlAction, VirtualControl])[],
): readonly ControlReport[] {
  const table = buildSignalTable(
    "controls",
    "base",
    controls.map(([control, hand]) => ({ control, hand })),
  );
  const desk = virtualDesk({ seed, strips: 1, inputs: ["line"], mainsHz: 50, faults: [] });
  const parts = controls.map(([, , control]) => control);
  const samples = simulateControlsPass(
    desk,
    { strip: 1, input: "line" },
    table,
    rate,
    parts,
    `pass ${seed}`,
  );
  return reportsOf(samples, table);
}

function reportsOf(samples: Float64Array, table: SignalTable): readonly ControlReport[] {
  const audio = { samples, origin: 0, clock: rate, sampleRate: rate, table, mainsHz: 50 };
  const reports = measureControls(audio);
  assertMade(reports);
  return reports;
}

const triesPass = (seed: number) => () => {
  const rng = createRng(`severities ${seed}`);
  const between = (low: number, high: number) => low * (high / low) ** uniform(rng);
  const controls: Parameters<typeof passOf>[1] = [
    ["gain", "turn", { ...soundPot, lowDb: -between(6, 40), highDb: between(3, 18) }],
    ["fader", "slide", { ...soundPot, markAt: 0.75, lowDb: Number.NEGATIVE_INFINITY, highDb: 10 }],
    ["pad", "press", { ...soundSwitch, inDb: -20 }],
    ["low cut", "press", soundSwitch],
    ["mute", "press", { ...soundSwitch, inDb: -90 }],
    [
      "worn",
      "turn",
      {
        ...soundPot,
        wornZones: 4,
        zoneWidth: between(0.01, 0.03),
        wornOhmParts: between(0.03, 0.3),
      },
    ],
    [
      "open",
      "slide",
      {
        ...soundPot,
        markAt: 0.75,
        wornZones: 5,
        zoneWidth: between(0.01, 0.03),
        wornOhmParts: between(4, 40),
      },
    ],
    ["leaky", "turn", { ...soundPot, roughness: between(2e-3, 1e-2), directV: between(0.3, 3) }],
    [
      "dirty",
      "press",
      { ...soundSwitch, lapses: 2, lapseS: between(0.03, 0.12), lapseOhmParts: between(1, 100) },
    ],
  ];
  let reports: readonly ControlReport[] = [];
  beforeAll(() => {
    reports = passOf(seed, controls);
  });
  const of = (name: string) => reports.find(({ control }) => control === name);

  it.each(["gain", "fader", "pad", "low cut", "mute"])(
    "finds no fault with the sound %s",
    (name) => {
      expect(of(name)).toMatchObject({ verdicts: ["sound"], dropouts: 0, jumps: 0 });
    },
  );

  it("sees that a control was moved where it changes the level", () => {
    expect(of("gain")?.moved).toBe("seen");
    expect(of("pad")?.rangeDb).toBeCloseTo(20, 0);
    expect(of("low cut")?.moved).toBe("not seen");
  });

  it("hears the scratch of a worn track", () => {
    expect(of("worn")).toMatchObject({ wear: "track" });
    expect(of("worn")?.verdicts).toContain("scratchy");
    // A few are kept to show, and none of a control that is sound.
    expect(of("worn")?.events.length).toBeGreaterThan(0);
    expect(of("gain")?.events).toEqual([]);
    expect(of("worn")?.scratches.silence).toBe(0);
  });

  it("counts the dropouts of a track that loses contact", () => {
    expect(of("open")?.verdicts).toContain("drops out");
  });

  it("tells DC voltage on a control by scratch without a signal", () => {
    expect(of("leaky")?.scratches.silence).toBeGreaterThan(2);
    expect(of("leaky")?.wear).toBe("leak");
  });

  it("hears a dirty switch let go", () => {
    expect(of("dirty")).toMatchObject({ wear: "contact" });
    expect(of("dirty")?.verdicts).toContain("drops out");
  });

  it("tells every event within the time of its own control", () => {
    for (const { fromS, untilS, events } of reports) {
      for (const { atS } of events) {
        expect(atS).toBeGreaterThan(fromS);
        expect(atS).toBeLessThan(untilS + 3);
      }
    }
  });
};
describe("a controls pass with the hand and the severities of seed 1", triesPass(1));
describe("a controls pass with the hand and the severities of seed 2", slow, triesPass(2));

describe("a path that crackles on its own", () => {
  const moves = ["one", "two", "three"].map((control) => ({ control, hand: "turn" }) as const);
  const table = buildSignalTable("controls", "base", moves);
  const desk = virtualDesk({ seed: 3, strips: 1, inputs: ["line"], mainsHz: 50, faults: [] });
  const parts = moves.map(() => soundPot);
  const path = { strip: 1, input: "line" };
  const clean = simulateControlsPass(desk, path, table, rate, parts, "crackling");
  const peak = clean.subarray(Math.round(3 * rate), Math.round(4 * rate)).reduce((most, x) => {
    return Math.max(most, Math.abs(x));
  }, 0);
  const named = (name: string) =>
    table.segments.find((segment) => segment.name === name)?.startS ?? Number.NaN;
  /** With a millisecond of crackle, 40 dB below the tone, at each of some times. */
  const crackling = (timesS: readonly number[]) => {
    const samples = clean.slice();
    for (const timeS of timesS) {
      const from = Math.round(timeS * rate);
      for (let i = 0; i < 44; i++) samples[from + i] += 0.01 * peak * (i % 2 === 0 ? 1 : -1);
    }
    return reportsOf(samples, table);
  };
  const verdictsOf = (timesS: readonly number[]) =>
    crackling(timesS).map(({ verdicts }) => verdicts.join());
  const underTone = [1, 1.7, 2.4, 3.1].map((s) => named("tone-2") + s);
  const countIn = (k: number) => [0.3, 0.8, 1.3].map((s) => named(`pips-${k}`) + s);

  it("makes no control of it scratchy where it crackles while they are counted in too", () => {
    expect(verdictsOf(underTone)).toEqual(["sound", "scratchy", "sound"]);
    expect(verdictsOf([...underTone, ...[1, 2, 3].flatMap(countIn)])).toEqual([
      "sound",
      "sound",
      "sound",
    ]);
  });

  it("makes a control scratchy by more than one scratch, told with how loud they were", () => {
    expect(verdictsOf(underTone.slice(0, 1))).toEqual(["sound", "sound", "sound"]);
    const worn = crackling(underTone)[1];
    expect(worn.wear).toBe("track");
    expect(worn.events).not.toHaveLength(0);
    // Swings of 40 dB below the tone, less at most half by the filter they are heard through.
    for (const { kind, levelDb } of worn.events) {
      expect(kind).toBe("scratch");
      expect(levelDb).toBeGreaterThan(-47);
      expect(levelDb).toBeLessThan(-33);
    }
  });

  it("is measured by its controls and has no readings: its gain is moved about", () => {
    const audio = { samples: clean, origin: 0, clock: rate, sampleRate: rate, table, mainsHz: 50 };
    const { controls, ...rest } = measureReturn(audio);
    expect(rest).toEqual({ readings: {}, curves: {}, absent: {} });
    expect(controls?.map(({ control }) => control)).toEqual(["one", "two", "three"]);
  });

  it("is no excuse where one count-in crackled, as of a hand that was late", () => {
    expect(verdictsOf([...underTone, ...countIn(3)])).toEqual(["sound", "scratchy", "sound"]);
  });
});

describe("a controls pass that is none", () => {
  it("says why nothing can be told where no tone comes through", () => {
    const table = buildSignalTable("controls", "base");
    const samples = new Float64Array(Math.round(table.lengthS * rate));
    const audio = { samples, origin: 0, clock: rate, sampleRate: rate, table, mainsHz: 50 };
    expect(measureControls(audio)).toEqual({ absent: { code: "no-tone", hz: 1000 } });
    expect(measureReturn(audio)).toEqual({
      readings: {},
      curves: {},
      absent: { controls: { code: "no-tone", hz: 1000 } },
    });
  });
});
