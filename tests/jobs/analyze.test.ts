import {
  closeSync,
  copyFileSync,
  mkdirSync,
  openSync,
  readdirSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import type { Round, RoundPath } from "../../src/history/types.js";
import { type AnalyzeRequest, analyze } from "../../src/jobs/analyze.js";
import { formatErrorHint } from "../../src/report/doubts/format-error-hint.js";
import type { SignalFormat } from "../../src/signal/encode.js";
import { sineRms } from "../helpers/captures.js";
import { makeSamples } from "../helpers/samples.js";
import { slow } from "../helpers/slow.js";
import { answer, joined, newDesk, pause, quickS, without, writeCapture } from "./recordings.js";

// Expected values: the recordings' own construction (tests/jobs/recordings.ts), unless stated.

const rate = 48_000;
const three = newDesk(3);
const folders = [three];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

/** Answers of paths 1, 2, … told apart by their gains, 0.9, 0.8, …. */
const gainOf = (strip: number) => 1 - strip / 10;
const strip = (k: number) => answer(rate, { gain: gainOf(k), seed: k });
const [one, two, four] = [strip(1), strip(2), strip(3)];

let count = 0;
function capture(
  channels: readonly Float64Array[],
  sampleRate = rate,
  // Written fastest, as it needs no dither.
  format: SignalFormat = "float32",
) {
  count++;
  return writeCapture(join(three, `capture ${count}x.wav`), channels, sampleRate, format);
}

function named(name: string, samples: Float64Array): string {
  count++;
  const folder = join(three, `folder ${count}`);
  mkdirSync(folder);
  return writeCapture(join(folder, name), [samples], rate, "float32");
}

function preview(captures: readonly string[], more: Partial<AnalyzeRequest> = {}): Promise<Round> {
  return analyze({ desk: three, captures, silent: [], keep: "preview", ...more }, () => {});
}

async function refusalOf(refused: Promise<unknown>): Promise<DeskroundError> {
  const error = await refused.then(
    () => undefined,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(DeskroundError);
  return error as DeskroundError;
}

/** `1, 2, …` for a path that got the answer of that strip, else its status. */
function got({ paths }: Round): string[] {
  return paths.map(({ status, readings: { gain } }) => {
    if (gain === undefined) return status;
    return String(Math.round(10 * (1 - 10 ** (gain.value / 20))));
  });
}

function pathOf(round: Round, name: string): RoundPath {
  const found = round.paths.find(({ path }) => path === name);
  if (found === undefined) throw new Error(`no path ${name}`);
  return found;
}

describe("one long capture", () => {
  it("may hold returns back to back, from its first sample to its last", slow, async () => {
    const round = await preview([capture([joined(one, two, four)])]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    expect(round.warnings).toEqual([]);
  });

  it("may hold noise, hum and minutes of silence between returns", slow, async () => {
    const noisy = pause(2, rate, 3e-3, 0.1);
    const file = capture([joined(noisy, one, pause(0.3, rate), two, noisy, four)], rate, "int16");
    // A hole at the end of the file reads as silence and costs no disk.
    const frames = joined(noisy, one, pause(0.3, rate), two, noisy, four).length;
    const longer = frames + 120 * rate;
    truncateSync(file, 44 + 2 * longer);
    patchSizes(file, 2 * longer);
    const round = await preview([file]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    expect(round.warnings).toEqual([]);
    const starts = round.paths.map(({ take }) => (take?.startSample ?? 0) / rate);
    [2, 2.3 + quickS, 4.3 + 2 * quickS].forEach((start, k) => {
      expect(starts[k]).toBeCloseTo(start, 4);
    });
  });

  it("may begin late: the return that is cut keeps its place and is unusable", async () => {
    const round = await preview([capture([joined(one.subarray(rate), two, four)])]);
    expect(got(round)).toEqual(["unusable", "2", "3"]);
    expect(pathOf(round, "1/mic")).toMatchObject({
      reason: "the start of its return is not in the recording; record it again",
      findings: [],
      causes: [],
    });
    expect(round.warnings).toEqual([
      expect.stringMatching(/the return that ends at 4\.0 s has no start\. .* return of 1\/mic;/),
    ]);
  });

  it("may end early: the return that is cut is unusable", async () => {
    const round = await preview([capture([joined(one, two, four.subarray(0, 4 * rate))])]);
    expect(got(round)).toEqual(["1", "2", "unusable"]);
    expect(pathOf(round, "3/mic").reason).toMatch(
      /^the end of its return is not in the recording;/,
    );
  });

  it("may lack more than a dropout in the midst of a return", async () => {
    const torn = without(two, 3, 3.7, rate);
    const round = await preview([capture([joined(one, torn, four)])]);
    expect(got(round)).toEqual(["1", "unusable", "3"]);
    expect(pathOf(round, "2/mic").reason).toMatch(
      /^the recorder lost more than half a second \(about 0\.7 s\) within the return; record it/,
    );
    expect(round.warnings).toEqual([
      expect.stringMatching(/the return that starts at \d+\.\d s has lost about 0\.7 s before its/),
    ]);
  });

  it("may hold a part of a return twice", async () => {
    const twice = joined(two.subarray(0, 3 * rate), two.subarray(1.5 * rate));
    const round = await preview([capture([joined(one, twice, four)])]);
    expect(got(round)).toEqual(["1", "unusable", "3"]);
    expect(pathOf(round, "2/mic").reason).toMatch(
      /^the return lasts about 1\.5 s longer than the signal: a part of it was repeated, or the/,
    );
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /the return that starts at .* lasts about 1\.5 s longer than the signal/,
      ),
    ]);
  });

  it("may hold a signal that was broken off and played again", async () => {
    const round = await preview([
      capture([joined(one, two.subarray(0, 2 * rate), pause(1, rate), two, four)]),
    ]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    expect(round.warnings).toEqual([
      expect.stringMatching(/has no end and was left out, as if broken off/),
    ]);
  });

  it("may have lost a few samples: that return is unusable, or its clock is doubted", async () => {
    const lost = without(two, 3, 3 + 300 / rate, rate);
    const few = without(four, 3, 3 + 20 / rate, rate);
    const slipped = await preview([capture([joined(one, lost, four)])]);
    expect(pathOf(slipped, "2/mic").reason).toMatch(
      /^the recorder lost about 300 samples \(6\.3 ms\) .* the signal; record it again$/,
    );
    const doubted = await preview([capture([joined(one, two, few)])]);
    // 20 samples of 5.3 s at 48 kHz are 79 ppm.
    expect(doubted.warnings).toEqual([
      expect.stringMatching(
        /^3\/mic: the clocks ran (7|8)\d ppm off .* about 2\d samples were lost/,
      ),
    ]);
  });
});

/** Sets the two sizes in the header of a WAV file. */
function patchSizes(file: string, dataBytes: number): void {
  const bytes = Buffer.alloc(8);
  bytes.writeUInt32LE(36 + dataBytes, 0);
  bytes.writeUInt32LE(dataBytes, 4);
  const fd = openSync(file, "r+");
  writeSync(fd, bytes, 0, 4, 4);
  writeSync(fd, bytes, 4, 4, 40);
  closeSync(fd);
}

describe("several captures", () => {
  it("are taken in the order given", async () => {
    const round = await preview([capture([joined(one, two)]), capture([four])]);
    expect(got(round)).toEqual(["1", "2", "3"]);
  });

  it("may hold a path each, told by their names", async () => {
    const files = [named("3 mic.wav", four), named("mic01.wav", one), named("02-MIC.wav", two)];
    expect(got(await preview(files))).toEqual(["1", "2", "3"]);
  });

  it("as a shell lists them, take 10 before take 2, are refused", async () => {
    const folder = join(three, "listed");
    mkdirSync(folder);
    const files = ["rec 1.wav", "rec 10.wav", "rec 2.wav"].map((name, k) =>
      writeCapture(join(folder, name), [[one, two, four][k]], rate),
    );
    await expect(preview(files)).rejects.toMatchObject({
      code: "usage",
      message: expect.stringContaining("alphabetical order, not in the order of their numbers"),
    });
    const [first, last, middle] = files;
    expect(got(await preview([first, middle, last]))).toEqual(["1", "3", "2"]);
  });

  it("may be fewer than the paths: the rest is missing, by name", async () => {
    const round = await preview([capture([joined(one, two)])]);
    expect(got(round)).toEqual(["1", "2", "missing"]);
    expect(pathOf(round, "3/mic").reason).toBe("no return was assigned to it");
    expect(round.warnings).toEqual([expect.stringContaining("leaves 3/mic without")]);
  });

  it("without the test signal itself, when that is among them", async () => {
    const { encodeSignalWav } = await import("../../src/signal/signal-wav.js");
    const { buildSignalTable } = await import("../../src/signal/signal-table.js");
    const played = join(three, "a signal.wav");
    writeFileSync(played, encodeSignalWav(buildSignalTable("quick", "base"), rate, "int24"));
    const round = await preview([played, capture([joined(one, two, four)])]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    expect(round.warnings).toEqual([`${played}: is the test signal itself and was left out.`]);
    expect(round.captures).toHaveLength(1);
    await expect(preview([played])).rejects.toMatchObject({ code: "no-return" });
  });
});

describe("a path that passes nothing", () => {
  const dead = pause(3, rate);
  /** Unusable, the oddest of all, and a dead stage or connection its likeliest cause. */
  function expectDead(round: Round, name: string): RoundPath {
    const found = pathOf(round, name);
    expect(found).toMatchObject({
      status: "unusable",
      rank: 1,
      findings: [{ reading: "return", severity: "service" }],
    });
    expect(found.causes[0]).toMatchObject({ cause: "no-signal", kind: "fault" });
    return found;
  }

  it("has a capture of its name without a return", async () => {
    const files = [named("01-mic.wav", one), named("02-mic.wav", two), named("03-mic.wav", dead)];
    const round = await preview(files);
    expect(got(round)).toEqual(["1", "2", "unusable"]);
    expect(expectDead(round, "3/mic").reason).toMatch(
      /^nothing of the signal came back \(silence, nothing above −8\d dBFS\)$/,
    );
    expect(round.warnings).toEqual([]);
  });

  it("is not told by a track on which nothing was recorded", async () => {
    const nothing = new Float64Array(3 * rate);
    const files = [named("01-mic.wav", one), named("02-mic.wav", two)];
    const silent = named("03-mic.wav", nothing);
    const round = await preview([...files, silent]);
    expect(got(round)).toEqual(["1", "2", "unusable"]);
    expect(pathOf(round, "3/mic")).toMatchObject({ findings: [], causes: [] });
    expect(pathOf(round, "3/mic")).not.toHaveProperty("rank");
    expect(pathOf(round, "3/mic").reason).toMatch(
      /^nothing was recorded \(digital silence\): was the track armed, .* --silent$/,
    );
    // Who heard nothing at the desk knows more than the recording tells.
    const told = await preview([...files, silent], { silent: ["3/mic"] });
    expect(expectDead(told, "3/mic").reason).toMatch(/named silent/);
    const byOrder = [capture([one]), capture([nothing]), capture([four])];
    expect(pathOf(await preview(byOrder), "2/mic")).toMatchObject({ findings: [], causes: [] });
    expectDead(await preview(byOrder, { silent: ["2/mic"] }), "2/mic");
  });

  it("may be cut off by a gate between returns: the rest is the same", async () => {
    const gated = new Float64Array(2 * rate);
    const round = await preview([capture([joined(gated, one, gated, two, gated, four, gated)])]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    expect(round.warnings).toEqual([]);
  });

  it("has its turn among captures that hold a return each", async () => {
    const round = await preview([capture([one]), capture([dead]), capture([four])]);
    expect(got(round)).toEqual(["1", "unusable", "3"]);
    expectDead(round, "2/mic");
    expect(round.warnings).toEqual([
      expect.stringMatching(/no return was found; .* it is the recording of 2\/mic\.$/),
    ]);
  });

  it("is named silent, and the others go by the order without it", async () => {
    const file = capture([joined(one, four)]);
    const round = await preview([file], { silent: ["2/MIC"] });
    expect(got(round)).toEqual(["1", "unusable", "3"]);
    expectDead(round, "2/mic");
    expect(round.warnings).toEqual([]);
  });

  it("cannot be named silent and have a return too", async () => {
    const file = capture([joined(one, two, four)]);
    const both = preview([file], { silent: ["3/mic"], map: "1/mic,2/mic,3/mic" });
    await expect(both).rejects.toThrow("3/mic is named silent, but the map gives it a return");
    const all = preview([file], { silent: ["1/mic", "2/mic", "3/mic"] });
    await expect(all).rejects.toThrow("--silent leaves no path for them");
  });

  it("is not to be blamed for a return that was cut off, or of another version", async () => {
    const cut = named("03-mic.wav", four.subarray(0, 3 * rate));
    const round = await preview([named("01-mic.wav", one), named("02-mic.wav", two), cut]);
    expect(pathOf(round, "3/mic")).toMatchObject({ status: "unusable", findings: [], causes: [] });
    expect(pathOf(round, "3/mic").reason).toMatch(/^the end of its return/);
  });
});

describe("a stereo capture", () => {
  const both = joined(one, two);

  it("may have one silent channel, either of them", async () => {
    const left = await preview([capture([both, new Float64Array(both.length)])]);
    expect(got(left)).toEqual(["1", "2", "missing"]);
    const right = await preview([capture([pause(both.length / rate, rate), both])]);
    expect(got(right)).toEqual(["1", "2", "missing"]);
    expect(right.paths[0].take?.channel).toBe(1);
  });

  it("that begins late has lost one return, not one a channel", async () => {
    const late = both.subarray(rate);
    const round = await preview([capture([late, late.map((x) => 0.5 * x)])]);
    expect(got(round)).toEqual(["unusable", "2", "missing"]);
    expect(round.warnings.filter((w) => w.includes("has no start"))).toHaveLength(1);
  });
});

describe("the capture's format", () => {
  it.each<[SignalFormat, number]>([
    ["int16", 44_100],
    ["float32", 44_100],
    ["int24", 48_000],
    ["int32", 48_000],
    ["int24", 96_000],
  ])("%s at %i Hz is read", async (format, hertz) => {
    const gains = [0.9, 0.8];
    const parts = gains.map((gain, k) => answer(hertz, { gain, seed: k }));
    const round = await preview([capture([joined(...parts)], hertz, format)]);
    gains.forEach((gain, k) => {
      const { readings, curves } = round.paths[k];
      expect(readings.gain.value).toBeCloseTo(20 * Math.log10(gain), 3);
      // A base signal's response ends at 20 kHz whatever the rate.
      expect(curves.response.x.at(-1)).toBeCloseTo(20_000, -2);
    });
  });

  it("below the signal's own rate shows what it can hold, and says so", slow, async () => {
    const parts = [1, 2, 3].map((seed) => {
      const gain = 1 - seed / 10;
      return halved(answer(2 * rate, { band: "wide", seed, gain }));
    });
    const round = await preview([capture([joined(...parts)])]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    for (const { curves, readings } of round.paths) {
      const { x, y } = curves.response;
      expect(x.at(-1)).toBeCloseTo(20_000, -2);
      // The paths are flat; the filter that halved the rate is too, to a hundredth of a decibel.
      const off = y.map((value) => Math.abs(value));
      expect(Math.max(...off)).toBeLessThan(0.02);
      expect(readings.polarity.value).toBe(1);
    }
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /^1\/mic, 2\/mic, 3\/mic: recorded at 48 kHz, but the sweep runs to 42 /,
      ),
    ]);
  });
});

/** Half the rate, by a windowed sinc: −6 dB at 24 kHz of 96, flat to 21.5 kHz, as recorders are. */
function halved(samples: Float64Array): Float64Array {
  const half = 200;
  const taps = makeSamples(2 * half + 1, (k) => {
    const t = k - half;
    const sinc = t === 0 ? 0.5 : Math.sin(0.5 * Math.PI * t) / (Math.PI * t);
    const w = (Math.PI * t) / (half + 1);
    return sinc * (0.42 + 0.5 * Math.cos(w) + 0.08 * Math.cos(2 * w));
  });
  return makeSamples(Math.floor(samples.length / 2), (n) => {
    let sum = 0;
    for (let k = -half; k <= half; k++) sum += taps[k + half] * (samples[2 * n + k] ?? 0);
    return sum;
  });
}

describe("returns that are hard to hear", () => {
  it("are measured inverted", async () => {
    const round = await preview([
      capture([joined(one, answer(rate, { gain: -0.8, seed: 2 }), four)]),
    ]);
    expect(got(round)).toEqual(["1", "2", "3"]);
    expect(round.paths.map(({ readings }) => readings.polarity.value)).toEqual([1, -1, 1]);
  });

  it.each([-200, 200])("are measured with the clocks %i ppm apart", async (driftPpm) => {
    const parts = [1, 2].map((seed) => answer(rate, { driftPpm, seed, gain: gainOf(seed) }));
    const round = await preview([capture([joined(...parts)])]);
    expect(got(round)).toEqual(["1", "2", "missing"]);
    expect(Math.abs((round.paths[0].take?.driftPpm ?? 0) - driftPpm)).toBeLessThan(0.1);
  });

  it("are measured 10 dB above the noise", async () => {
    // Nominal level −18 dBFS, a sine; noise of the r.m.s. of a sine 10 dB below.
    const noise = sineRms(-28);
    const parts = [1, 2, 3].map((seed) => answer(rate, { seed, noise, gain: gainOf(seed) }));
    const round = await preview([capture([joined(...parts)])]);
    expect(got(round)).toEqual(["1", "2", "3"]);
  });

  it("are refused where the converter clipped throughout, and doubted where it did in part", async () => {
    const clip = (samples: Float64Array, gain: number) =>
      samples.map((x) => Math.max(-1, Math.min(1, gain * x)));
    const hot = [one, two].map((x) => clip(x, 12));
    await expect(preview([capture([joined(...hot)])])).rejects.toMatchObject({
      code: "no-return",
      message: expect.stringMatching(
        /^Nothing could be measured \(1\/mic: .*clipped from 0\.\d\d s of the signal on; turn down/,
      ),
    });
    const round = await preview([capture([joined(one, two, clip(four, 4))])]);
    expect(round.warnings).toEqual([expect.stringMatching(/^3\/mic: the converter clipped/)]);
  });
});

describe("a signal played at another rate than its own", () => {
  it("is not found, and the rate is asked about", async () => {
    const slow = capture([joined(one)], 44_100);
    await expect(preview([slow])).rejects.toMatchObject({
      code: "no-return",
      hint: expect.stringContaining("at its own sample rate"),
    });
  });
});

describe("samples that are not numbers", () => {
  /** Spoils sample frames of a 32-bit float capture: from the first up to the one before the last. */
  function spoilt(file: string, from: number, until: number, value = Number.NaN): string {
    const fd = openSync(file, "r+");
    const bytes = Buffer.alloc(4 * (until - from));
    for (let k = 0; k < until - from; k++) bytes.writeFloatLE(value, 4 * k);
    writeSync(fd, bytes, 0, bytes.length, 44 + 4 * from);
    closeSync(fd);
    return file;
  }

  it.each([Number.NaN, 1e30])(
    "are a fault of the recording: %d spoils its return",
    async (value) => {
      const file = spoilt(capture([joined(two, one)], rate, "float32"), 100_000, 100_001, value);
      const round = await preview([file]);
      expect(got(round)).toEqual(["unusable", "1", "missing"]);
      expect(round.paths[0].reason).toMatch(/^some of its samples are NaN or infinite/);
      expect(round.paths[0].findings).toEqual([]);
      expect(round.paths[1].findings).toEqual([]);
      expect(round.warnings[0]).toMatch(/: 1 sample between 2\.0 s and 2\.1 s/);
    },
  );

  it("are looked at before lost samples are reported", async () => {
    const slipped = without(two, 3.1, 3.12, rate);
    const file = spoilt(capture([joined(slipped, one)], rate, "float32"), 200_000, 200_100);
    const round = await preview([file]);
    expect(round.paths[0].reason).toMatch(/^some of its samples are NaN or infinite/);
  });

  it("are named where they hid a marker, or all of a return", async () => {
    const cut = spoilt(capture([joined(two, one)], rate, "float32"), 0, 40_000);
    expect((await preview([cut])).paths[0].reason).toMatch(
      /^some of its samples are NaN or infinite/,
    );
    const { length } = two;
    const gone = spoilt(capture([joined(two, one)], rate, "float32"), 0, length);
    const refusal = await refusalOf(preview([gone], { map: "1/mic,2/mic" }));
    expect(refusal.message).toMatch(/lists 2 returns, 1 were found/);
    expect(formatErrorHint(refusal)).toContain(`${length} samples between 0.0 s`);
  });

  it("are what is said of a capture that holds nothing else", async () => {
    const file = capture([joined(one)], rate, "float32");
    const gone = spoilt(file, 0, (statSync(file).size - 44) / 4);
    await expect(preview([gone])).rejects.toMatchObject({
      code: "no-return",
      message: expect.stringMatching(/100 % of its samples are NaN or infinite/),
    });
  });
});

describe("a header that gives too short a length", () => {
  it("is reported where returns are missing for it", async () => {
    const file = capture([joined(two, one)], rate, "float32");
    const fd = openSync(file, "r+");
    const length = Buffer.alloc(4);
    // The first return alone; what follows it then looks like a chunk that runs out of the file.
    length.writeUInt32LE(4 * two.length);
    writeSync(fd, length, 0, 4, 40);
    writeSync(fd, Buffer.from("aB1xpP`@"), 0, 8, 44 + 4 * two.length);
    closeSync(fd);
    const told = `bytes after the ${4 * two.length} bytes of samples are not described`;
    const refusal = await refusalOf(preview([file], { map: "1/mic,2/mic" }));
    expect(refusal.message).toMatch(/lists 2 returns/);
    expect(formatErrorHint(refusal)).toContain(told);
    expect((await preview([file])).warnings[0]).toContain(told);
  });
});

describe("a map", () => {
  const file = capture([joined(one, two, four)]);

  it("says which path each return is, in a list or a file", async () => {
    expect(got(await preview([file], { map: "3/mic,1/mic,2/mic" }))).toEqual(["2", "3", "1"]);
    const map = join(three, "map.txt");
    writeFileSync(map, "# first evening\r\n3/mic\r\n-\r\n1/mic\r\n");
    expect(got(await preview([file], { map }))).toEqual(["3", "missing", "1"]);
  });

  it("that leaves out all returns is refused", async () => {
    await expect(preview([file], { map: "-,-,-" })).rejects.toThrow(
      "leaves out every whole return",
    );
  });
});

describe("what is stored", () => {
  it("is nothing in a preview, and nothing when anything is refused", async () => {
    const file = capture([joined(one, two, four)]);
    await preview([file]);
    const refused = analyze(
      { desk: three, captures: [file], silent: [], map: "9/mic", keep: "store" },
      () => {},
    );
    await expect(refused).rejects.toBeInstanceOf(DeskroundError);
    expect(readdirSync(three)).not.toContain("rounds");
  });

  it("names the day where it was made, not that of Greenwich", async () => {
    const folder = newDesk(1);
    folders.push(folder);
    const file = join(folder, "a.wav");
    copyFileSync(capture([one]), file);
    const zone = process.env.TZ;
    try {
      for (const tz of ["Pacific/Kiritimati", "Pacific/Pago_Pago"]) {
        process.env.TZ = tz;
        const now = new Date();
        const request = { desk: folder, captures: [file], silent: [], keep: "store" } as const;
        const { id, date } = await analyze(request, () => {});
        const two = (value: number) => String(value).padStart(2, "0");
        const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
        expect(id.slice(0, 10)).toBe(day);
        expect(Math.abs(Date.parse(date) - now.getTime())).toBeLessThan(30_000);
      }
    } finally {
      if (zone === undefined) delete process.env.TZ;
      else process.env.TZ = zone;
    }
  });
});
