import { describe, expect, it } from "vitest";
import {
  calibrateMeasurement,
  percentToDb,
} from "../../../src/measure/calibration/calibrate-measurement.js";
import { buildInputCalibration } from "../../../src/measure/calibration/loopback.js";
import { computeKnownLevel, computeMeteredVolts } from "../../../src/measure/calibration/meter.js";
import { measureReturn } from "../../../src/measure/measure.js";
import { hum } from "../../../src/measure/readings/hum.js";
import { gain, level } from "../../../src/measure/readings/level.js";
import { noise, noise20k } from "../../../src/measure/readings/noise.js";
import { createReturnContext } from "../../../src/measure/return-context.js";
import type { Measurement, Reading } from "../../../src/measure/types.js";
import { highPass1, lowPass1, magnitudeDb } from "../../helpers/analogue.js";
import {
  dbu,
  inDataSheetBand,
  inNoiseBand,
  loop,
  recorder,
  type SyntheticInterface,
  type SyntheticPath,
  shortTable,
} from "../../helpers/interface.js";
import { gaussian } from "../../helpers/noise.js";
import { slow } from "../../helpers/slow.js";

// Expected values: closed forms of a synthetic interface and path (tests/helpers/interface.ts).

const table = shortTable("marker-start", "silence", "sweep", "tone-1k", "marker-end");
/** Without the sweep, for hundreds of runs. */
const steady = shortTable("silence", "tone-1k");
const nominal = 10 ** (table.nominalDbfs / 20);

/** Full scale +22 dBu out and +20 dBu in, noise at both ends. */
const device: SyntheticInterface = {
  outputVolts: Math.sqrt(0.6) * 10 ** (22 / 20),
  inputVolts: Math.sqrt(0.6) * 10 ** (20 / 20),
  outputNoise: 6e-6,
  inputNoise: 8e-6,
};

function loopback(of: SyntheticInterface, volts: number) {
  return fromLoopback(measureReturn(recorder(table, of, loop)(1)), volts);
}

function fromLoopback(measured: Measurement, volts: number) {
  const known = computeKnownLevel(computeMeteredVolts({ volts, stepVolts: 0 }, percent));
  return buildInputCalibration(0, [measured], known);
}

/** The readings of level and noise alone: hundreds of runs need no others. */
function measureFew(device: SyntheticInterface, path: SyntheticPath, seed: number): Measurement {
  const context = createReturnContext(recorder(steady, device, path)(seed));
  const readings = [level, gain, noise, noise20k, hum].flatMap((kind) => {
    const reading = kind.read(context);
    return "absent" in reading ? [] : [[kind.id, reading] as const];
  });
  return { readings: Object.fromEntries(readings), absent: {}, curves: {} };
}

/** Of the meter. */
const percent = 1;

describe("a calibrated measurement", () => {
  const input = loopback(device, device.outputVolts * nominal);
  const path: SyntheticPath = { gain: 0.5, noise: 1e-4 };
  const measured = measureReturn(recorder(table, device, path)(7));
  const socketDbu = dbu(device.outputVolts * nominal);
  const m = calibrateMeasurement(measured, { input, socketDbu, socketDb: percentToDb(1) });

  it("has its levels in dBu and its gain from socket to output", () => {
    // closed forms: full scale +20 dBu, so the tone came out at +22 − 18 − 6.02 dBu
    expect(input.fullScale.value).toBeCloseTo(20, 2);
    expect(m.readings.level.unit).toBe("dBu");
    expect(m.readings.level.value).toBeCloseTo(4 + 20 * Math.log10(0.5), 2);
    expect(m.readings.gain.value).toBeCloseTo(20 * Math.log10(0.5), 2);
    expect(m.readings.noise.unit).toBe("dBu");
  });

  it("has the meter's uncertainty in level once and in gain twice, in quadrature", () => {
    // JCGM 100, 5.1.2; 1 % is 0.0864 dB
    const one = 20 * Math.log10(1.01);
    expect(m.readings.level.uncertainty).toBeCloseTo(one, 3);
    expect(m.readings.gain.uncertainty).toBeCloseTo(Math.SQRT2 * one, 3);
    expect(m.readings.gain.common).toBeCloseTo(Math.SQRT2 * one, 3);
  });

  it("leaves the measurement that it was made from as it was", () => {
    expect(measured.readings.level.unit).toBe("dBFS");
    expect(measured.readings.gain.value).toBeCloseTo(2 + 20 * Math.log10(0.5), 2);
  });

  it("has no equivalent input noise unless the source is known", () => {
    expect(m.readings).not.toHaveProperty("ein");
    const ein = calibrateMeasurement(measured, { input, socketDbu, socketDb: 0.1, sourceOhm: 150 });
    // closed form: noise at the output over the gain
    const expected = dbu((path.noise * Math.sqrt(inDataSheetBand)) / path.gain);
    expect(Math.abs(ein.readings.ein.value - expected)).toBeLessThan(
      1.5 * ein.readings.ein.uncertainty,
    );
    expect(ein.readings.ein.unit).toBe("dBu");
  });

  it("has no equivalent input noise from a calibration that lacks the interface's in its band", () => {
    const { noise20k: _, ...others } = input.readings;
    const older = { ...input, readings: others };
    const ein = calibrateMeasurement(measured, {
      input: older,
      socketDbu,
      socketDb: 0.1,
      sourceOhm: 150,
    });
    expect(ein.readings).not.toHaveProperty("ein");
    expect(ein.absent.ein).toEqual({ code: "calibration-without-noise" });
  });

  it("has a response without the interface's", () => {
    // closed forms: path a low-pass at 15 kHz, interface a high-pass at 8 Hz and a low-pass at 60 kHz
    const colour = (hz: number) => {
      const [a, b] = highPass1(8)(hz);
      const [c, d] = lowPass1(60_000)(hz);
      return [a * c - b * d, a * d + b * c] as const;
    };
    const coloured = { ...device, response: colour };
    const own = loopback(coloured, device.outputVolts * nominal);
    const heard = measureReturn(
      recorder(table, coloured, { ...path, response: lowPass1(15_000) })(9),
    );
    const { curves, readings } = calibrateMeasurement(heard, {
      input: own,
      socketDbu,
      socketDb: 0.1,
    });
    const truth = (hz: number) =>
      magnitudeDb(lowPass1(15_000)(hz)) - magnitudeDb(lowPass1(15_000)(1000));
    const { x, y, uncertainty } = curves.response;
    expect(Math.abs(heard.curves.response.y[0])).toBeGreaterThan(0.5);
    x.forEach((hz, i) => {
      expect(Math.abs(y[i] - truth(hz)), `${hz} Hz`).toBeLessThan(2.5 * uncertainty[i] + 0.001);
    });
    // −3.01 dB below 1 kHz: 1 + (f/15 kHz)² = 2·(1 + (1/15)²)
    const corner = 15_000 * Math.sqrt(2 * (1 + 1 / 225) - 1);
    expect(Math.abs(readings.cornerHigh.value / corner - 1)).toBeLessThan(0.002);
    expect(Math.abs(heard.readings.cornerHigh.value / corner - 1)).toBeGreaterThan(0.01);
  });

  it("has the polarity of the path alone", () => {
    const crossed = {
      ...input,
      readings: { ...input.readings, polarity: { value: -1, unit: "", uncertainty: 0 } },
    };
    const turned = calibrateMeasurement(measured, { input: crossed, socketDbu, socketDb: 0.1 });
    expect(measured.readings.polarity.value).toBe(1);
    expect(turned.readings.polarity.value).toBe(-1);
  });
});

describe("a path near the interface's own noise", () => {
  const input = loopback(device, device.outputVolts * nominal);
  const own = Math.hypot(device.outputNoise, device.inputNoise);

  function noiseOf(ratio: number, seed: number): Reading {
    const heard = measureReturn(recorder(table, device, { gain: 1, noise: ratio * own })(seed));
    const socketDbu = dbu(device.outputVolts * nominal);
    return calibrateMeasurement(heard, { input, socketDbu, socketDb: 0.1 }).readings.noise;
  }

  it("has its own noise, the interface's taken off, and says that it is near", () => {
    // closed form: 0.8 of the interface's voltage is 2.15 dB above it in sum
    const noise = noiseOf(0.8, 3);
    const expected = dbu(0.8 * own * Math.sqrt(inNoiseBand));
    expect(noise.limitedBy).toBe("interface");
    expect(noise).not.toHaveProperty("bound");
    expect(Math.abs(noise.value - expected)).toBeLessThan(noise.uncertainty);
    expect(noise.uncertainty).toBeGreaterThan(0.15);
  });

  it("has a bound where nothing stands out above the interface", () => {
    const noise = noiseOf(0.05, 4);
    expect(noise).toMatchObject({ limitedBy: "interface", bound: "upper" });
    expect(noise.value).toBeLessThan(dbu(own * Math.sqrt(inNoiseBand)) - 3);
    expect(noise.value).toBeGreaterThan(dbu(0.05 * own * Math.sqrt(inNoiseBand)));
  });

  it("is not called limited well above it", () => {
    expect(noiseOf(3, 5)).not.toHaveProperty("limitedBy");
  });
});

describe("distortion near the interface's own", () => {
  const dB = (value: number): Reading => ({ value, unit: "dB", uncertainty: 0.1 });
  const of = (heard: number, own: number) => {
    const m: Measurement = { readings: { thd: dB(heard) }, absent: {}, curves: {} };
    const input = {
      channel: 0,
      returns: 1,
      fullScale: { value: 20, unit: "dBu", uncertainty: 0.1 },
      readings: { thd: dB(own) },
      curves: {},
    };
    return calibrateMeasurement(m, { input, socketDbu: 4, socketDb: 0.1 }).readings.thd;
  };

  it("keeps its value, as phases are unknown, with all of difference and sum in its uncertainty", () => {
    // closed form: 20 dB apart, −20·log10(1 − 0.1·sin(0.95·90°)) = 0.912 dB and 0.1 dB in quadrature
    const thd = of(-80, -100);
    expect(thd.value).toBe(-80);
    expect(thd.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.912), 2);
    expect(thd).not.toHaveProperty("limitedBy");
  });

  it("within 3 dB is a bound: the sum of both", () => {
    // closed form: 20·log10(10^(−98/20) + 10^(−100/20)) = −92.92 dB
    const thd = of(-98, -100);
    expect(thd).toMatchObject({ limitedBy: "interface", bound: "upper" });
    expect(thd.value).toBeCloseTo(-92.92, 2);
  });
});

describe("stated uncertainties of calibrated readings", () => {
  it("hold the path's own figures in 93 to 98 of 100 runs", { ...slow, timeout: 240_000 }, () => {
    // 250 runs, each with an interface, a meter and a path of its own; the share found is itself
    // known to about ±1.4 % (binomial, one deviation), hence limits two of them wider
    const runs = 250;
    const next = gaussian(2031);
    const uniform = () => Math.abs(1000 * next()) % 1;
    const held = new Map<string, number>();
    const made = new Map<string, number>();
    const note = (id: string, reading: Reading | undefined, truth: number) => {
      if (!reading) return;
      made.set(id, (made.get(id) ?? 0) + 1);
      const inside = reading.bound
        ? truth <= reading.value
        : Math.abs(reading.value - truth) <= reading.uncertainty;
      if (inside) held.set(id, (held.get(id) ?? 0) + 1);
    };
    for (let run = 0; run < runs; run++) {
      const one: SyntheticInterface = {
        outputVolts: 10 * (1 + uniform()),
        inputVolts: 8 * (1 + uniform()),
        outputNoise: 2e-5 * uniform(),
        inputNoise: 2e-5 * (0.3 + uniform()),
      };
      const own = Math.hypot(one.outputNoise, one.inputNoise);
      const path: SyntheticPath = {
        gain: 10 ** ((uniform() - 0.5) / 4),
        noise: own * 10 ** (1.4 * uniform() - 0.3),
      };
      const tone = one.outputVolts * nominal;
      // 95 % of a meter's errors lie within its per cent
      const shown = tone * (1 + (next() * percent) / 200);
      const input = fromLoopback(measureFew(one, loop, 3 * run + 1), shown);
      const socket = dbu(tone * (1 + (next() * percent) / 200));
      const m = calibrateMeasurement(measureFew(one, path, 3 * run + 2), {
        input,
        socketDbu: socket,
        socketDb: percentToDb(percent),
        sourceOhm: 150,
      });
      const pathNoise = dbu(path.noise * Math.sqrt(inNoiseBand));
      note("level", m.readings.level, dbu(tone * path.gain));
      note("gain", m.readings.gain, 20 * Math.log10(path.gain));
      note("noise", m.readings.noise, pathNoise);
      const inputNoise = dbu((path.noise * Math.sqrt(inDataSheetBand)) / path.gain);
      note("ein", m.readings.ein, inputNoise);
    }
    for (const [id, count] of made) {
      const share = (held.get(id) ?? 0) / count;
      expect(share, id).toBeGreaterThan(0.905);
      expect(share, id).toBeLessThan(0.995);
    }
    expect([...made.keys()]).toEqual(["level", "gain", "noise", "ein"]);
  });
});
