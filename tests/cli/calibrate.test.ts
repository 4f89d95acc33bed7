import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeCaptureWav } from "../../src/signal/signal-wav.js";
import { highPass1, throughFilter } from "../helpers/analogue.js";
import { addNoise, addReturn } from "../helpers/captures.js";
import { slow } from "../helpers/slow.js";
import { newFolder, run } from "./run.js";

// Expected values: closed forms of the interface and the paths below.

const rate = 48_000;
const quick = buildSignalTable("quick", "base");
const { WaveFile } = createRequire(import.meta.url)("wavefile") as typeof import("wavefile");

/** Decibels of the input's full scale below the output's. */
const stepDb = 2;
const scale = 10 ** (stepDb / 20);
/** R.m.s. of the interface's own noise, full scale 1. */
const ownNoise = 3e-6;

function recording(gain: number, noise = 0, sampleRate = rate): Float64Array {
  const samples = new Float64Array(Math.round((quick.lengthS + 0.6) * sampleRate));
  addReturn(samples, quick, sampleRate, 0.3 * sampleRate + 0.4, 0, gain * scale);
  addNoise(samples, Math.hypot(ownNoise, noise), Math.round(1000 * gain) + samples.length);
  return samples;
}

function save(file: string, samples: Float64Array, sampleRate = rate): string {
  writeFileSync(file, encodeCaptureWav(samples, sampleRate, "float32"));
  return file;
}

function saveStereo(file: string, left: Float64Array, right: Float64Array): string {
  const wav = new WaveFile();
  wav.fromScratch(2, rate, "32f", [left, right]);
  writeFileSync(file, wav.toBuffer());
  return file;
}

const shared = newFolder();
const loop = save(join(shared, "loop.wav"), recording(1));
const volts = ["--output-volts", "1.2280"];

const textOf = (strips: number) =>
  formatStarterDesk({ name: "Desk", strips: String(strips), inputs: ["line"], mainsHz: 50 });
const deskText = textOf(2);

function newDesk(text = deskText): string {
  const folder = newFolder();
  writeFileSync(join(folder, "desk.yaml"), text);
  return folder;
}

function paths(folder: string, gains: readonly number[]): string[] {
  return gains.map((gain, k) => save(join(folder, `${k + 1}-line.wav`), recording(gain, 3e-5)));
}

describe("calibrate", () => {
  it("writes calibration.json, says so on stderr and prints what it found", () => {
    const desk = newDesk();
    const { code, out, err } = run(
      "calibrate",
      loop,
      ...volts,
      "--desk",
      desk,
      "--date",
      "2031-03-14",
    );
    expect({ code, err }).toEqual({ code: 0, err: `Wrote ${desk}/calibration.json.\n` });
    expect(out).toMatch(/^Calibration for Desk, 2031-03-14\n/);
    // 1.228 V is 4.002 dBu at −18 dBFS: full scale +22.002 dBu out, 2 dB less in
    expect(out).toMatch(/output {4}full scale {14}22\.002 ± 0\.086 dBu/);
    expect(out).toMatch(/input 1 {3}full scale {14}20\.002 ± 0\.086 dBu, from 1 return/);
  });

  it("prints the calibration as JSON, and says when it takes the place of another", () => {
    const desk = newDesk();
    run("calibrate", loop, ...volts, "--desk", desk);
    const { code, out, err } = run("calibrate", loop, ...volts, "--desk", desk, "--json");
    expect(code).toBe(0);
    expect(err).toBe(`Wrote ${desk}/calibration.json and replaced the earlier one.\n`);
    expect(out).toBe(readFileSync(join(desk, "calibration.json"), "utf8"));
    const calibration = JSON.parse(out);
    expect(calibration).toMatchObject({ format: "deskround-calibration", version: 1 });
    expect(calibration.captures[0].sha256).toMatch(/^[0-9a-f]{64}$/);
  });

  it("takes the level behind a pad from --input-volts", () => {
    const desk = newDesk();
    const args = ["--output-volts", "1.228", "--input-volts", "0.1228", "--desk", desk, "--json"];
    const { inputs, outputFullScale } = JSON.parse(run("calibrate", loop, ...args).out);
    expect(outputFullScale.value).toBeCloseTo(22.002, 2);
    expect(inputs[0].fullScale.value).toBeCloseTo(0.002, 2);
  });

  it("calibrates both inputs of a stereo loopback, each with its scale", slow, () => {
    const desk = newDesk();
    const file = saveStereo(join(desk, "both.wav"), recording(1), recording(0.5));
    const { inputs } = JSON.parse(run("calibrate", file, ...volts, "--desk", desk, "--json").out);
    expect(inputs.map((i: { channel: number }) => i.channel)).toEqual([0, 1]);
    // half the gain: full scale 6.02 dB higher
    expect(inputs[1].fullScale.value - inputs[0].fullScale.value).toBeCloseTo(6.02, 2);
  });

  it(
    "takes the delay between the inputs of a stereo loopback out of that between the sides",
    slow,
    () => {
      const desk = newDesk();
      const late = (samples: Float64Array) => {
        const moved = new Float64Array(samples.length);
        moved.set(samples.subarray(0, -5), 5);
        return moved;
      };
      const own = recording(0.5);
      const file = saveStereo(join(desk, "both.wav"), recording(1), late(own));
      const { inputs } = JSON.parse(run("calibrate", file, ...volts, "--desk", desk, "--json").out);
      // five samples of 48 kHz
      expect(inputs[0].readings.delay.value).toBeCloseTo(-5e6 / rate, 1);
      expect(inputs[1].readings).not.toHaveProperty("delay");
      const path = join(desk, "1-line.wav");
      saveStereo(path, recording(0.9, 3e-5), late(recording(0.7, 3e-5)));
      run("analyze", path, "--desk", desk);
      const { readings } = JSON.parse(run("show", "1/line", "--desk", desk, "--json").out);
      expect(Math.abs(readings.delay.value)).toBeLessThan(2 * readings.delay.uncertainty);
    },
  );

  it.each([
    [["--output-volts", "0"], "--output-volts 0: a voltage r.m.s. is more than 0 V."],
    [["--output-volts", "-1.2"], "--output-volts -1.2: a voltage r.m.s. is more than 0 V."],
    [["--output-volts", "1228"], "--output-volts 1228: no interface gives more than 3.1 V"],
    [["--output-volts", "100"], "--output-volts 100: no interface gives more than 3.1 V"],
    [["--output-volts", "0.001228"], "--output-volts 0.001228: an output turned up gives more"],
    [["--output-volts", "1,23 dBu"], "1,23 dBu: It should be a number of volts, and not in dBu."],
    [["--output-volts", "Infinity"], "--output-volts Infinity: It should be a number of volts."],
    [[], "--output-volts is missing"],
    [[...volts, "--meter-percent", "0"], "--meter-percent 0: the uncertainty of a meter is above"],
    [[...volts, "--meter-percent", "50"], "--meter-percent 50: the uncertainty of a meter is"],
    [[...volts, "--input-volts", "2"], "--input-volts 2: a cable or a pad gives no more"],
    [[...volts, "--input-volts", "0"], "--input-volts 0: a voltage r.m.s. is more than 0 V."],
    [[...volts, "--input-volts", "0.0000001"], "Channel 1 and the voltage do not fit: full scale"],
  ])("refuses %j with exit code 2, in words, and writes nothing", (args, message) => {
    const desk = newDesk();
    const { code, out, err } = run("calibrate", loop, ...args, "--desk", desk);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain(message);
    expect(existsSync(join(desk, "calibration.json"))).toBe(false);
  });

  const clipped = () => recording(1).map((x) => Math.max(-1, Math.min(1, 12 * x)));
  const filtered = () => {
    const samples = throughFilter(recording(1), rate, highPass1(1000));
    return samples;
  };
  const silent = () => new Float64Array(3 * rate);
  it.each([
    ["that clips", clipped, /loop\.wav at 0\.3 s: the converter clipped in the loopback\./],
    [
      "with a hole",
      () => recording(1).fill(0, 2 * rate, 2 * rate + 480),
      /loop\.wav at 0\.3 s: the recorder lost, repeated or held samples within the return\./,
    ],
    ["20 dB down at 100 Hz", filtered, /not an interface alone: its response at 20 Hz is −3\d/],
    ["as noisy as a desk", () => recording(1, 1e-3), /not an interface alone: its noise is −5\d/],
    ["of silence", silent, /loop\.wav: no return was found; what was heard is digital silence/],
    ["without any noise", () => noiseless(), /never left the computer|digital zero/],
  ])("refuses a loopback %s", (_, make, message) => {
    const desk = newDesk();
    const file = save(join(desk, "loop.wav"), make());
    const { code, err } = run("calibrate", file, ...volts, "--desk", desk);
    expect(code).toBe(2);
    expect(err).toMatch(message);
    expect(readdirSync(desk).sort()).toEqual(["desk.yaml", "loop.wav"]);
  });

  it("refuses loopback returns that disagree, or were recorded at several rates", () => {
    const desk = newDesk();
    const other = save(join(desk, "other.wav"), recording(0.9));
    const levels = run("calibrate", loop, other, ...volts, "--desk", desk);
    expect(levels.code).toBe(2);
    expect(levels.err).toMatch(
      /The 2 loopback returns of channel 1 disagree: their levels differ by 0\.92 dB/,
    );
    const slow = save(join(desk, "slow.wav"), recording(1, 0, 44_100), 44_100);
    const rates = run("calibrate", loop, slow, ...volts, "--desk", desk);
    expect(rates.code).toBe(2);
    expect(rates.err).toMatch(/several kinds: quick signal at 48 kHz, quick signal at 44\.1 kHz/);
    expect(existsSync(join(desk, "calibration.json"))).toBe(false);
  });

  it("keeps an earlier calibration when a new one is refused", () => {
    const desk = newDesk();
    run("calibrate", loop, ...volts, "--desk", desk);
    const before = readFileSync(join(desk, "calibration.json"), "utf8");
    expect(run("calibrate", loop, "--output-volts", "0", "--desk", desk).code).toBe(2);
    expect(readFileSync(join(desk, "calibration.json"), "utf8")).toBe(before);
  });

  function noiseless(): Float64Array {
    const samples = new Float64Array(Math.round((quick.lengthS + 0.6) * rate));
    addReturn(samples, quick, rate, 0.3 * rate, 0, 1);
    return samples;
  }
});

it("calibrate refuses what a round has as a path of the desk", () => {
  const desk = newDesk();
  const [one, ...rest] = paths(desk, [0.5, 0.52]);
  expect(run("analyze", one, ...rest, "--desk", desk, "--date", "2031-03-14").code).not.toBe(2);
  const { code, err } = run("calibrate", one, ...volts, "--desk", desk);
  expect(code).toBe(2);
  expect(err).toContain("not a loopback but a recording of the desk in round 2031-03-14-01.");
  expect(existsSync(join(desk, "calibration.json"))).toBe(false);
});

describe("analyze with a calibration", () => {
  const desk = newDesk();
  const captures = paths(desk, [1, 0.5]);
  run("calibrate", loop, ...volts, "--desk", desk, "--date", "2031-03-14");

  it("stores levels in dBu, true gains, and the calibration it used", () => {
    const { code, out } = run("analyze", ...captures, "--desk", desk, "--json");
    expect(code).toBe(0);
    const round = JSON.parse(out);
    expect(round.calibration).toMatchObject({ date: "2031-03-14T12:00:00.000Z" });
    expect(round.calibration.volts.output.value).toBe(1.228);
    expect(round.calibration.sha256).toMatch(/^[0-9a-f]{64}$/);
    // the tone leaves at 4.002 dBu; half of that is −2.018 dBu, −6.018 dB from a socket at 4 dBu
    const { level, gain, noise } = round.paths[1].readings;
    expect(level.unit).toBe("dBu");
    expect(level.value).toBeCloseTo(-2.018, 2);
    expect(gain.value).toBeCloseTo(-6.018, 2);
    expect(gain.uncertainty).toBeCloseTo(Math.SQRT2 * 0.0866, 2);
    // 3e-5 of full scale +20.002 dBu: 20·log10(3e-5·√2) and the share of 22.4 Hz to 22.4 kHz
    const band = 10 * Math.log10((22_400 - 22.4) / 24_000);
    expect(
      Math.abs(noise.value - (20.002 + 20 * Math.log10(3e-5 * Math.SQRT2) + band)),
    ).toBeLessThan(0.2);
  });

  it("says by what it was calibrated, or that nothing is", () => {
    const out = run("analyze", ...captures, "--desk", desk, "--preview").out.replace(/\s+/g, " ");
    expect(out).toContain(
      "levels in dBu, calibrated on 2031-03-14 by 1.228 ± 0.012 V at the output",
    );
    const without = run("analyze", ...captures, "--desk", desk, "--preview", "--uncalibrated").out;
    expect(without.replace(/\s+/g, " ")).toContain(
      "levels in dBFS and gains relative, because nothing is calibrated",
    );
  });

  it("gives the equivalent input noise where the desk file names the source", () => {
    const terminated = newDesk(
      deskText.replace("    nominal: 4\n", "    nominal: 4\n    source: 200\n"),
    );
    run("calibrate", loop, ...volts, "--desk", terminated);
    const out = run("analyze", ...captures, "--desk", terminated, "--preview", "--json").out;
    const { ein, noise20k, gain } = JSON.parse(out).paths[1].readings;
    expect(ein.value).toBeCloseTo(noise20k.value - gain.value, 3);
    expect(ein.unit).toBe("dBu");
  });

  it("measures a round at another rate uncalibrated, with a clear doubt", () => {
    const slow = save(join(desk, "1-line.44.wav"), recording(1, 3e-5, 44_100), 44_100);
    const { out } = run("analyze", slow, "--map", "1/line", "--desk", desk, "--preview");
    const words = out.replace(/\s+/g, " ");
    expect(words).toContain("levels in dBFS and gains relative, because nothing is calibrated");
    expect(words).toContain(
      "Measured uncalibrated, levels in dBFS and gains relative: recordings are at 44.1 kHz, which the calibration of 2031-03-14 does not cover.",
    );
  });

  it("doubts quiet paths where loopback and round were written in other word lengths", () => {
    const file = join(desk, "1-line.16.wav");
    writeFileSync(file, encodeCaptureWav(recording(1, 3e-5), rate, "int16"));
    const words = run("analyze", file, "--map", "1/line", "--desk", desk, "--preview").out.replace(
      /\s+/g,
      " ",
    );
    expect(words).toContain("levels in dBu, calibrated on 2031-03-14");
    expect(words).toContain(
      "The loopback of 2031-03-14 was recorded at 32 bits and the round at 16: the noise of the 16 bits is in only one of them, and how much of it is not known, so the noise of quiet paths is less certain. Record both at 32 bits.",
    );
    const same = run("analyze", ...captures, "--desk", desk, "--preview").out;
    expect(same).not.toContain("was recorded at");
  });

  it("refuses a damaged calibration rather than leave it out unasked", () => {
    const damaged = newDesk();
    writeFileSync(join(damaged, "calibration.json"), "{");
    const { code, err } = run("analyze", ...captures, "--desk", damaged, "--preview");
    expect(code).toBe(2);
    expect(err).toMatch(
      /calibration\.json is damaged: it is not complete JSON\.\n {2}Make it again/,
    );
    const args = ["--desk", damaged, "--preview", "--uncalibrated"];
    expect(run("analyze", ...captures, ...args).code).toBe(0);
  });

  it("measures both sides of a stereo bus, with their balance, and says so", slow, () => {
    const stereo = newDesk(textOf(4));
    const files = [1, 0.99, 1.01, 0.98].map((gain, k) =>
      saveStereo(
        join(stereo, `${k + 1}-line.wav`),
        recording(gain, 3e-5),
        recording(0.8 * gain, 3e-5),
      ),
    );
    const { out } = run("analyze", ...files, "--desk", stereo);
    expect(out.replace(/\s+/g, " ")).toContain(
      "A stereo bus: both sides of 4 paths measured (left on channel 1, right on channel 2).",
    );
    const first = JSON.parse(run("show", "1/line", "--desk", stereo, "--json").out);
    // closed form: 20·log10(1/0.8) = 1.938 dB
    expect(first.readings.balance.value).toBeCloseTo(1.938, 2);
    expect(first.take.partnerChannel).toBe(1);
    expect(first.partner).toMatchObject({ side: "right" });
    expect(run("show", "1/line", "--desk", stereo).out).toContain("THE RIGHT SIDE");
  });
});
