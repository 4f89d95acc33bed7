import { describe, expect, test } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { synthesise } from "../../src/signal/synthesise.js";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";
import type { Capacitor, PlacedFault, VirtualDesk } from "../../src/simulate/types.js";
import { slow } from "../helpers/slow.js";
import { amplitudeAt, decibel, phasorAt, rms, tone } from "./tone.js";

const sampleRate = 48_000;
const inputs = ["mic", "line", "tape"];
const nominal = 10 ** (-18 / 20);

function desk(faults: readonly PlacedFault[] = [], seed = 5): VirtualDesk {
  return virtualDesk({ seed, strips: 24, inputs, mainsHz: 50, faults });
}

const sound = desk();

function render(d: VirtualDesk, path: string, signal: Float64Array): Float64Array {
  const [strip, input] = path.split("/");
  return simulatePath(d, Number(strip), input, signal, sampleRate);
}

const at = (hz: number, peak: number, lengthS = 2) =>
  tone(hz, lengthS, sampleRate).map((x) => peak * x);

/** Level of 1 kHz at nominal, dBFS. */
const levelOf = (d: VirtualDesk, path: string) =>
  decibel(amplitudeAt(render(d, path, at(1000, nominal)), 1000, sampleRate));

describe("a sound desk", () => {
  test("returns −18 dBFS at −18 dBFS, two knobs set within 0.3 dB each", () => {
    for (const path of Object.keys(sound.paths).slice(0, 24)) {
      // 0.6 dB of knobs and 0.1 dB of the master's 1 % resistors.
      expect(Math.abs(levelOf(sound, path) + 18)).toBeLessThan(0.7);
    }
  });

  test("takes a step 17 dB above nominal without clipping", () => {
    for (const path of ["3/mic", "3/line", "3/tape"]) {
      const out = render(sound, path, at(1000, 10 ** (-1.5 / 20)));
      const fundamental = amplitudeAt(out, 1000, sampleRate);
      for (const hz of [2000, 3000, 5000]) {
        expect(decibel(amplitudeAt(out, hz, sampleRate) / fundamental)).toBeLessThan(-60);
      }
    }
  });

  test("has an equivalent input noise of about −125 dBu at 150 Ω and 44 dB of gain", () => {
    // −125 dBu in 20 kHz is common practice for a good input of a large desk.
    for (const strip of [1, 9, 24]) {
      const out = render(sound, `${strip}/mic`, new Float64Array(4 * sampleRate));
      // Second differences cancel hum; white noise grows by √6 in RMS, over 24 kHz here.
      const steps = out.slice(2).map((x, n) => x - 2 * out[n + 1] + out[n]);
      const inAudio = (rms(steps) / Math.sqrt(6)) * Math.sqrt(20 / 24);
      const outputDbu = 22 + decibel(inAudio * Math.SQRT2);
      expect(Math.abs(outputDbu - 44 + 125)).toBeLessThan(1.5);
    }
  });

  test("has most of a mic path's noise from the mic stage, not from bus and interface", () => {
    const silence = new Float64Array(2 * sampleRate);
    const dead = desk([{ at: "7/mic", fault: "dead-stage", severity: 1 }]);
    const rest = rms(render(dead, "7/mic", silence));
    expect(decibel(rms(render(sound, "7/mic", silence)) / rest)).toBeGreaterThan(6);
  });

  test("has on each path the response of its component values", () => {
    for (const path of ["2/mic", "11/line", "20/tape"]) {
      const { gain, coupling, contact } = sound.paths[path];
      const { master } = sound;
      const reference = amplitudeAt(render(sound, path, at(1000, nominal)), 1000, sampleRate);
      const highPass = (hz: number, ohm: number, { farad, seriesOhm }: Capacitor) => {
        const x = 2 * Math.PI * hz * farad * (ohm + seriesOhm);
        return x / Math.hypot(1, x);
      };
      const leg = (hz: number) => {
        // 1 + Rf/(Rg + ESR + 1/jωC), magnitude.
        const series = gain.legOhm + gain.legCapacitor.seriesOhm;
        const reactance = 1 / (2 * Math.PI * hz * gain.legCapacitor.farad);
        const square = series ** 2 + reactance ** 2;
        const re = 1 + (gain.feedbackOhm * series) / square;
        return Math.hypot(re, (gain.feedbackOhm * reactance) / square);
      };
      const h = (hz: number) =>
        highPass(hz, contact.loadOhm, coupling) *
        highPass(hz, 10_000 + master.outputOhm, master.coupling) *
        leg(hz) *
        (1 / Math.hypot(1, (hz * leg(1000)) / gain.amplifier.gainBandwidthHz));
      for (const hz of [5, 10, 20, 50, 10_000, 20_000]) {
        const out = render(sound, path, at(hz, nominal, 3));
        const measured = decibel(amplitudeAt(out, hz, sampleRate) / reference);
        expect(Math.abs(measured - decibel(h(hz) / h(1000)))).toBeLessThan(0.05);
      }
    }
  });

  test("has its −3 dB corner between 2 and 6 Hz on every path", () => {
    for (const path of ["1/mic", "8/mic", "16/line", "24/tape"]) {
      const reference = amplitudeAt(render(sound, path, at(1000, nominal)), 1000, sampleRate);
      const loss = (hz: number) =>
        decibel(amplitudeAt(render(sound, path, at(hz, nominal, 4)), hz, sampleRate) / reference);
      expect(loss(2)).toBeLessThan(-3.01);
      expect(loss(6)).toBeGreaterThan(-3.01);
    }
  });
});

describe("rendering", () => {
  const signal = synthesise(buildSignalTable("quick", "base"), sampleRate).subarray(
    0,
    3 * sampleRate,
  );

  test("gives the same samples again, whatever was rendered between", slow, () => {
    const first = render(sound, "4/mic", signal);
    render(sound, "5/line", signal);
    expect(render(desk(), "4/mic", signal)).toEqual(first);
  });

  test("leaves the signal it was given alone", () => {
    const before = signal.slice();
    render(sound, "4/mic", signal);
    expect(signal).toEqual(before);
  });

  test("differs by seed, strip and occasion", () => {
    const first = render(sound, "4/mic", signal);
    expect(render(sound, "6/mic", signal)).not.toEqual(first);
    expect(render(desk([], 6), "4/mic", signal)).not.toEqual(first);
    const { occasion: _, ...options } = { ...sound, faults: [] };
    expect(render(virtualDesk({ ...options, occasion: 2 }), "4/mic", signal)).not.toEqual(first);
  });

  test("of other paths is untouched by a fault", () => {
    const ailing = desk([{ at: "7/mic", fault: "dried-coupling", severity: 1 }]);
    for (const path of ["7/line", "6/mic"]) {
      expect(render(ailing, path, signal)).toEqual(render(sound, path, signal));
    }
  });

  test("on a capture clock that runs fast holds more samples", () => {
    const fast = virtualDesk({ ...sound, faults: [], clockPpm: 100 });
    expect(render(fast, "4/line", signal).length).toBe(Math.round(signal.length * 1.0001));
  });

  test("never leaves full scale", () => {
    const out = render(sound, "4/line", at(1000, 1.2));
    expect(Math.max(...out)).toBe(1);
    expect(Math.min(...out)).toBe(-1);
  });

  test.each([44_100, 96_000, 192_000])("at %d Hz returns the nominal level too", (rate) => {
    const out = simulatePath(
      sound,
      9,
      "line",
      tone(1000, 1.5, rate).map((x) => nominal * x),
      rate,
    );
    const level = decibel(amplitudeAt(out, 1000, rate));
    expect(Math.abs(level - levelOf(sound, "9/line"))).toBeLessThan(0.001);
  });

  test("of a path that the desk has not is refused with its range", () => {
    expect(() => simulatePath(sound, 25, "mic", signal, sampleRate)).toThrow(DeskroundError);
    expect(() => desk([{ at: "25/mic", fault: "dead-stage", severity: 1 }])).toThrow(/25\/mic/);
    expect(() => desk([{ at: "5/mic", fault: "gremlins", severity: 1 }])).toThrow(/gremlins/);
  });
});

describe("faults", () => {
  const put = (path: string, fault: string, severity = 0.5) =>
    desk([{ at: path, fault, severity }]);
  const silence = new Float64Array(2 * sampleRate);

  test("open leg: 6 dB down, hum up", () => {
    for (const path of ["14/tape", "14/mic"]) {
      const ailing = put(path, "open-leg");
      expect(Math.abs(levelOf(ailing, path) - levelOf(sound, path) + 6.02)).toBeLessThan(0.1);
      const hum = (d: VirtualDesk) => amplitudeAt(render(d, path, silence), 50, sampleRate);
      expect(decibel(hum(ailing) / hum(sound))).toBeGreaterThan(20);
    }
  });

  test("swapped wiring: the same level inverted", () => {
    const out = (d: VirtualDesk) => phasorAt(render(d, "3/line", at(1000, nominal)), 1000, 48_000);
    const [re, im] = out(put("3/line", "swapped-wiring"));
    const [re0, im0] = out(sound);
    expect((re * re0 + im * im0) / (re0 * re0 + im0 * im0)).toBeCloseTo(-1, 3);
  });

  test("dead stage: crosstalk 75 dB down, noise of the bus", () => {
    // 10 kΩ and 56 MΩ divide by 5601: −74.96 dB.
    const fall = levelOf(put("3/mic", "dead-stage"), "3/mic") - levelOf(sound, "3/mic");
    expect(Math.abs(fall + 74.96)).toBeLessThan(0.5);
  });

  test("dried coupling: the bass is lost and distorts, the treble is not", () => {
    const ailing = put("17/line", "dried-coupling");
    const ratio = (d: VirtualDesk, hz: number, harmonic: number) => {
      const out = render(d, "17/line", at(hz, nominal));
      return decibel(amplitudeAt(out, harmonic * hz, sampleRate) / nominal);
    };
    expect(ratio(ailing, 30, 1)).toBeLessThan(ratio(sound, 30, 1) - 5);
    expect(ratio(ailing, 100, 2)).toBeGreaterThan(ratio(sound, 100, 2) + 20);
    expect(Math.abs(ratio(ailing, 5000, 1) - ratio(sound, 5000, 1))).toBeLessThan(0.1);
  });

  test("missing rail: the upper half is cut first", () => {
    const out = render(put("9/line", "missing-rail"), "9/line", at(1000, 0.8)).subarray(sampleRate);
    expect(Math.max(...out)).toBeLessThan(-0.8 * Math.min(...out));
  });

  test("at a strip hit all its inputs, at the master all strips", () => {
    const eq = desk([{ at: "2", fault: "equaliser-in", severity: 1 }]);
    expect(inputs.map((input) => eq.paths[`2/${input}`].equaliser)).not.toContain("out");
    expect(eq.paths["22/mic"].equaliser).toBe("out");
    const ripple = desk([{ at: "master", fault: "supply-ripple", severity: 1 }]);
    const line = (d: VirtualDesk) => amplitudeAt(render(d, "8/line", silence), 100, sampleRate);
    expect(line(ripple)).toBeGreaterThan(10 * line(sound));
  });
});
