import { describe, expect, test } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";
import { simulateReference } from "../../src/simulate/reference.js";
import { type SharedFaultName, sharedFaults } from "../../src/simulate/shared-faults.js";
import { applySharedParts, computeFeedRipple } from "../../src/simulate/shared-parts.js";
import type {
  PlacedSharedFault,
  VirtualDesk,
  VirtualDeskOptions,
} from "../../src/simulate/types.js";
import { amplitudeAt, decibel, rms, tone } from "./tone.js";

const sampleRate = 48_000;
const usual: VirtualDeskOptions = {
  seed: 12,
  strips: 8,
  inputs: ["mic", "line"],
  mainsHz: 50,
  faults: [],
  banks: {
    feeds: [
      { name: "feed A", strips: [1, 2, 3, 4] },
      { name: "feed B", strips: [5, 6, 7, 8] },
    ],
    ribbons: [{ name: "ribbon 1", strips: [1, 2, 3, 4] }],
    groups: [{ name: "group 1", strips: [3, 4, 5, 6] }],
  },
};
const sound = virtualDesk(usual);
const silence = new Float64Array(2 * sampleRate);
/** Peak of a full-scale sine at +22 dBu, from 0 dBu = √0.6 V (IEC 60268-17). */
const fullScaleV = Math.SQRT2 * Math.sqrt(0.6) * 10 ** (22 / 20);

const places: Readonly<Record<string, Partial<PlacedSharedFault>>> = {
  feed: { at: "feed A" },
  ribbon: { at: "ribbon 1" },
  group: { at: "group 1" },
  strips: { strips: [1, 2, 3, 4] },
  input: { at: "line" },
  desk: {},
  turn: { fromTurn: 4 },
};

function place(fault: SharedFaultName, severity: number): PlacedSharedFault {
  return { fault, severity, ...places[sharedFaults[fault].reach] };
}

function ailing(fault: SharedFaultName, severity: number): VirtualDesk {
  return virtualDesk({ ...usual, sharedFaults: [place(fault, severity)] });
}

function heard(desk: VirtualDesk, strip: number, input: string, signal = silence) {
  return simulatePath(desk, strip, input, signal, sampleRate);
}

/** Decibels of a tone on one desk against another. */
function change(desk: VirtualDesk, strip: number, hz: number, against = sound) {
  const signal = tone(hz, 3, sampleRate).map((x) => 0.1 * x);
  const level = (on: VirtualDesk) => amplitudeAt(heard(on, strip, "line", signal), hz, sampleRate);
  return decibel(level(desk) / level(against));
}

/** Gain from the output of a strip's gain stage to the interface's input, at middle frequencies. */
function gainAfterStage(desk: VirtualDesk, path: string): number {
  const { summingOhm, driveOhm, faderDb, contact } = desk.paths[path];
  const { summingFeedbackOhm, outputGain, outputOhm } = desk.master;
  const { inputOhm } = desk.interface;
  return (
    (contact.loadOhm / (contact.loadOhm + contact.contactOhm)) *
    10 ** (faderDb / 20) *
    (summingOhm / (summingOhm + driveOhm)) *
    (summingFeedbackOhm / summingOhm) *
    outputGain *
    (inputOhm / (inputOhm + outputOhm))
  );
}

const names = Object.keys(sharedFaults) as SharedFaultName[];

test("at least twenty parts that paths share can fail", () => {
  expect(names.length).toBeGreaterThanOrEqual(20);
});

test.each(names)("%s changes a named part's value, mild and gross", (name) => {
  const { show } = sharedFaults[name];
  for (const severity of [0, 1]) {
    const placed = place(name, severity);
    expect(show(ailing(name, severity), placed)).not.toBe(show(sound, placed));
  }
});

test.each(names)("%s gives a finite capture within full scale", (name) => {
  const signal = tone(997, 0.3, sampleRate).map((x) => 0.9 * x);
  const desk = { ...ailing(name, 1), turn: 5 };
  for (const input of usual.inputs) {
    expect(heard(desk, 3, input, signal).every((x) => Math.abs(x) <= 1)).toBe(true);
  }
});

test("a desk without named banks sounds as one whose parts are strip by strip", () => {
  const { banks, ...bare } = usual;
  expect(virtualDesk(bare).paths).toEqual(sound.paths);
});

describe("a supply feed", () => {
  test("carries the sawtooth of its load and capacitors, divided by its filter", () => {
    const feed = { name: "f", strips: [1], railV: 18, loadA: 1, seriesOhm: 2 };
    // 1 A, 5000 µF, 100 Hz: 2 V from peak to peak, so 2/π V of first line; 2 Ω and 2000 µF at
    // 100 Hz: |1 + j·2.5133| = 2.7049.
    const one = { ...feed, reservoirFarad: 5e-3, smoothingFarad: 2e-3 };
    expect(computeFeedRipple(one, 50)).toBeCloseTo(2 / Math.PI / 2.7049, 4);
    // The second line has half the height and twice the frequency: |1 + j·5.0265| = 5.1250.
    expect(computeFeedRipple(one, 50, 2)).toBeCloseTo(1 / Math.PI / 5.125, 4);
  });

  test.each(["feed-smoothing-dried", "feed-capacitors-dried"] as const)(
    "with %s leaves on each strip the ripple of its own capacitor and rejection",
    (name) => {
      const desk = ailing(name, 0.5);
      const { master } = desk;
      // Only the strip's ripple is looked at.
      const quiet = { ...desk, master: { ...master, supply: { ...master.supply, rippleV: 0 } } };
      const [feed] = desk.sharedParts.feeds;
      const w = 2 * Math.PI * 100;
      const railV =
        feed.loadA /
        (100 * feed.reservoirFarad) /
        Math.PI /
        Math.hypot(1, w * feed.seriesOhm * feed.smoothingFarad);
      for (const strip of [1, 2]) {
        const { rejection, feedOhm, decouplingFarad } = desk.paths[`${strip}/line`].supply;
        const atStageV = (railV * rejection) / Math.hypot(1, w * feedOhm * decouplingFarad);
        const expected = (atStageV * gainAfterStage(desk, `${strip}/line`)) / fullScaleV;
        const measured = amplitudeAt(heard(quiet, strip, "line"), 100, sampleRate);
        // Noise in one hertz lies 40 dB below.
        expect(Math.abs(decibel(measured / expected))).toBeLessThan(0.15);
      }
    },
  );

  test("leaves the strips of other feeds as they were", () => {
    const desk = ailing("feed-capacitors-dried", 1);
    expect(heard(desk, 5, "mic")).toEqual(heard(sound, 5, "mic"));
  });

  test("with low rails takes a strip's own where these are lower", () => {
    const faults = [{ at: "2/line", fault: "low-rails", severity: 1 }];
    const desk = virtualDesk({
      ...usual,
      faults,
      sharedFaults: [place("feed-rails-low", 0)],
    });
    const rail = (path: string, strip: number) =>
      applySharedParts(desk.paths[path], desk, strip).gain.amplifier.railHighV;
    expect(rail("1/line", 1)).toBe(4);
    expect(rail("2/line", 2)).toBe(2);
    expect(rail("5/line", 5)).toBe(18);
  });
});

describe("level", () => {
  test("of a group falls by half with one of two equal resistors open", () => {
    const desk = ailing("group-resistor-open", 0);
    const [a, b] = sound.sharedParts.groups[0].mixOhms;
    // From a‖b to a alone.
    expect(change(desk, 3, 1000)).toBeCloseTo(decibel(b / (a + b)), 3);
    expect(change(desk, 3, 1000)).toBeCloseTo(-6.02, 1);
    expect(change(desk, 1, 1000)).toBe(0);
  });

  test("behind a ribbon falls by the contact in series with the summing resistor", () => {
    const desk = ailing("ribbon-contacts-tarnished", 0.5);
    const { driveOhm, summingOhm } = sound.paths["2/line"];
    const contactOhm = applySharedParts(desk.paths["2/line"], desk, 2).driveOhm - driveOhm;
    const nominal = desk.sharedParts.ribbons[0].contactOhm;
    expect(Math.abs(contactOhm / nominal - 1)).toBeLessThanOrEqual(0.1);
    const before = driveOhm + summingOhm;
    expect(change(desk, 2, 1000)).toBeCloseTo(decibel(before / (before + contactOhm)), 2);
  });

  test("by a bad cable falls by divider and corner of its contact", () => {
    const desk = ailing("bad-cable", 0.5);
    const { contactOhm, farad } = desk.interface.cable ?? { contactOhm: 0, farad: 0 };
    const source = contactOhm + desk.master.outputOhm;
    const load = 10_000;
    const level = (ohm: number, hz: number) =>
      load / Math.hypot(load + ohm, 2 * Math.PI * hz * farad * ohm * load);
    const was = load / (load + desk.master.outputOhm);
    for (const hz of [1000, 8000]) {
      expect(change(desk, 1, hz)).toBeCloseTo(decibel(level(source, hz) / was), 1);
    }
  });

  test("that is touched in the midst of a round changes from that path on", () => {
    const desk = ailing("level-touched", 0.5);
    const { db } = desk.sharedParts.masterLevel;
    expect(change({ ...desk, turn: 3 }, 1, 1000)).toBe(0);
    // Noise of the interface is not turned down with it.
    expect(change({ ...desk, turn: 4 }, 1, 1000)).toBeCloseTo(db, 2);
  });

  test("of a desk that warms up creeps to its end by 1/e over this many paths", () => {
    const desk = virtualDesk({ ...usual, warmUp: { db: -0.5, turns: 3 } });
    expect(change(desk, 1, 1000)).toBeCloseTo(-0.5, 2);
    expect(change({ ...desk, turn: 3 }, 1, 1000)).toBeCloseTo(-0.5 / Math.E, 2);
  });

  test("that the interface plays lower comes back lower", () => {
    const desk = ailing("playing-level", 0);
    expect(change(desk, 1, 1000)).toBeCloseTo(-2.5, 2);
  });
});

describe("response", () => {
  const highPass = (hz: number, ohm: number, farad: number) => {
    const x = 2 * Math.PI * hz * ohm * farad;
    return x / Math.hypot(1, x);
  };

  test("loses bass by the output capacitor into the interface", () => {
    const desk = ailing("master-bass-loss", 0.5);
    const ohm = 10_000 + desk.master.outputOhm + desk.master.coupling.seriesOhm;
    const [was, is] = [sound, desk].map(({ master }) => highPass(40, ohm, master.coupling.farad));
    expect(change(desk, 1, 40)).toBeCloseTo(decibel(is / was), 1);
  });

  test("loses bass by the interface's own capacitor", () => {
    const desk = ailing("interface-bass-loss", 0.5);
    const loss = highPass(40, 10_000, desk.interface.inputFarad ?? 0);
    expect(change(desk, 1, 40)).toBeCloseTo(decibel(loss), 1);
  });

  test("loses treble by the capacitance across the summing amplifier's feedback", () => {
    const desk = ailing("bus-treble-loss", 0.5);
    const { summingFeedbackOhm, summingFeedbackFarad = 0 } = desk.master;
    const x = 2 * Math.PI * 10_000 * summingFeedbackOhm * summingFeedbackFarad;
    expect(change(desk, 1, 10_000)).toBeCloseTo(-decibel(Math.hypot(1, x)), 1);
  });
});

describe("noise and hum", () => {
  test("of the bus are its amplifier's, times the noise gain of all strips", () => {
    const desk = ailing("bus-noise", 1);
    const { summingNoiseV, summingFeedbackOhm, busOhm, outputGain, outputOhm } = desk.master;
    const atOutputV = summingNoiseV * (1 + summingFeedbackOhm / busOhm) * outputGain;
    const load = 10_000 / (10_000 + outputOhm);
    const expected = (atOutputV * load * Math.sqrt(sampleRate / 2)) / fullScaleV;
    // All other noise together is a fiftieth of it; 96 000 samples scatter by 0.02 dB.
    expect(Math.abs(decibel(rms(heard(desk, 1, "line")) / expected))).toBeLessThan(0.1);
  });

  test("of a lifted earth lead lie on all paths, and on one that avoids the strips", () => {
    const desk = ailing("earth-lifted", 1);
    const expected = 0.3 / fullScaleV;
    const past = simulateReference(desk, "insert-return", silence, sampleRate);
    expect(decibel(amplitudeAt(past, 50, sampleRate) / expected)).toBeCloseTo(0, 1);
    for (const strip of [1, 4, 8]) {
      const path = heard(desk, strip, "line");
      // A thousandth or two of it comes by way of the strip's own rejection.
      expect(Math.abs(decibel(amplitudeAt(path, 50, sampleRate) / expected))).toBeLessThan(0.2);
      const was = amplitudeAt(heard(sound, strip, "line"), 50, sampleRate);
      expect(decibel(amplitudeAt(path, 50, sampleRate) / was)).toBeGreaterThan(70);
    }
  });

  test("of the interface are there without any strip", () => {
    const hum = simulateReference(ailing("interface-hum", 1), "insert-return", silence, sampleRate);
    expect(decibel(amplitudeAt(hum, 50, sampleRate) / (0.3 / fullScaleV))).toBeCloseTo(0, 1);
  });
});

test("a batch that bends has second harmonics by the curvature of its stages", () => {
  const desk = ailing("batch-distorting", 1);
  const played = tone(1000, 3, sampleRate).map((x) => 0.126 * x);
  const back = heard(desk, 2, "line", played);
  const fundamental = amplitudeAt(back, 1000, sampleRate);
  const atStageV = (fundamental * fullScaleV) / gainAfterStage(desk, "2/line");
  // x + a·x²: a·A²/2 of second harmonic for A of the first.
  const { second } = desk.paths["2/line"].gain.amplifier;
  const expected = (second * atStageV) / 2;
  // The output stage, not in this batch, adds a seventieth.
  const measured = amplitudeAt(back, 2000, sampleRate) / fundamental;
  expect(Math.abs(decibel(measured / expected))).toBeLessThan(0.3);
});

describe("a reference path", () => {
  const nominal = tone(1000, 3, sampleRate).map((x) => 0.126 * x);

  test.each(["insert-return", "bus-input"] as const)("by the %s comes back as sent", (point) => {
    const back = simulateReference(sound, point, nominal, sampleRate);
    // The load of the interface on the output, and a resistor of 1 % in the bus.
    const load = decibel(10_000 / (10_000 + sound.master.outputOhm));
    const off = decibel(amplitudeAt(back, 1000, sampleRate) / 0.126);
    expect(Math.abs(off - load)).toBeLessThan(0.1);
  });

  test("is the same whatever is wrong with the strips", () => {
    const faults = [{ at: "2", fault: "noisy-input-device", severity: 1 }];
    const desk = virtualDesk({
      ...usual,
      faults,
      sharedFaults: [place("feed-capacitors-dried", 1)],
    });
    const by = (one: VirtualDesk) => simulateReference(one, "bus-input", nominal, sampleRate);
    expect(by(desk)).toEqual(by(sound));
  });

  test("hears the summing amplifier from the bus, and not from the insert", () => {
    const noisy = ailing("bus-noise", 1);
    const noise = (desk: VirtualDesk, point: "insert-return" | "bus-input") =>
      rms(simulateReference(desk, point, silence, sampleRate));
    expect(noise(noisy, "insert-return")).toBe(noise(sound, "insert-return"));
    expect(noise(noisy, "bus-input")).toBeGreaterThan(20 * noise(sound, "bus-input"));
  });
});

test("what the desk does not have is refused with what it has", () => {
  const desk = (fault: Partial<PlacedSharedFault>) => () =>
    virtualDesk({
      ...usual,
      sharedFaults: [{ fault: "feed-smoothing-dried", severity: 0, ...fault }],
    });
  expect(desk({ at: "feed C" })).toThrow(DeskroundError);
  expect(desk({ at: "feed C" })).toThrow(/feed C/);
  expect(desk({ fault: "gremlins" })).toThrow(/gremlins/);
  expect(desk({ fault: "input-hum", at: "tape" })).toThrow(/tape/);
});
