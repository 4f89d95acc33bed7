import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { readDesk } from "../../src/desk/read/read-desk.js";
import type { Round } from "../../src/history/types.js";
import { type AnalyzeRequest, analyze } from "../../src/jobs/analyze.js";
import { slow } from "../helpers/slow.js";
import { answer, joined, newDesk, pause, writeCapture } from "./recordings.js";

// Expected values: the recordings' own construction (tests/jobs/recordings.ts).

const rate = 48_000;
const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

/** A desk whose file has the given lines more. */
function deskWith(lines: string, strips = 4, inputs: readonly string[] = ["mic", "line"]): string {
  const folder = newDesk(strips, inputs);
  folders.push(folder);
  const file = join(folder, "desk.yaml");
  writeFileSync(file, `${readFileSync(file, "utf8")}\n${lines}\n`);
  return folder;
}

let count = 0;
function capture(desk: string, name: string, channels: readonly Float64Array[]): string {
  const own = join(desk, `f${count++}`);
  mkdirSync(own);
  return writeCapture(join(own, name), channels, rate, "float32");
}

function preview(desk: string, captures: readonly string[], more: Partial<AnalyzeRequest> = {}) {
  return analyze({ desk, captures, silent: [], keep: "preview", ...more }, () => {});
}

/** Path and the number of the answer it got, for paths that have one. */
function got({ paths }: Round): Record<string, number | string> {
  return Object.fromEntries(
    paths.flatMap(({ path, status, readings: { gain } }) => {
      if (status === "missing") return [];
      return [[path, gain ? Math.round(10 * (1 - 10 ** (gain.value / 20))) : status]];
    }),
  );
}

const length = answer(rate).length;
/** Answers told apart by their gains: 0.9, 0.8, …, on so many channels at once. */
const answers = (numbers: readonly number[]) =>
  numbers.map((k) =>
    k === 0 ? pause(length / rate, rate) : answer(rate, { gain: 1 - k / 10, seed: k }),
  );

const desk = deskWith("channels: 1-4");

describe("a multichannel capture of a desk whose channels are its strips", () => {
  const crosstalk =
    "tells crosstalk from takes where one strip after the other had its turn and one %s";
  it.each([["passes crosstalk alone, as all do", 0.003, "1"]] as const)(crosstalk, tryTurns);
  it.each([["passes nothing at all", 0, "unusable"]] as const)(crosstalk, slow, tryTurns);

  async function tryTurns(_: string, leak: number, third: string): Promise<void> {
    // Four turns; strip 3 is dead. What leaks from the input reaches every channel, 50 dB down.
    const turns = [1, 2, 3, 4].map((strip) =>
      [1, 2, 3, 4].map((channel) => {
        if (channel === 3 && leak === 0) return pause(length / rate, rate);
        const gain = channel === strip && strip !== 3 ? 0.5 : 0.003;
        return answer(rate, { gain, seed: 10 * strip + channel });
      }),
    );
    const channels = [0, 1, 2, 3].map((k) => joined(...turns.map((turn) => turn[k])));
    const round = await preview(desk, [capture(desk, "mic.wav", channels)]);
    const mics = round.paths.filter(({ input }) => input === "mic");
    expect(mics.map(({ status }) => status)).toEqual([
      "measured",
      "measured",
      third === "1" ? "measured" : third,
      "measured",
    ]);
    for (const { path, readings, otherTakes } of mics) {
      expect(otherTakes).toBeUndefined();
      if (path === "3/mic") continue;
      expect(readings.gain?.value).toBeCloseTo(20 * Math.log10(0.5), 1);
    }
    expect(round.warnings.join()).toMatch(/was treated as crosstalk/);
  }

  it("has a silent channel told whose path another file holds", async () => {
    const mic = capture(desk, "mic.wav", answers([1, 2, 0, 4]));
    const again = capture(desk, "03 mic.wav", answers([3]));
    const round = await preview(desk, [mic, again]);
    expect(got(round)).toEqual({ "1/mic": 1, "2/mic": 2, "3/mic": 3, "4/mic": 4 });
    expect(round.warnings).toEqual([
      `${mic}: nothing came back on channel 3 for 3/mic, but ${again} holds a return of it.`,
    ]);
  });

  it("holds the input that its name tells, strip by channel", async () => {
    const mic = capture(desk, "mic.wav", answers([1, 2, 3, 4]));
    const line = capture(desk, "evening line 2031.wav", answers([5, 6, 7, 8]));
    const round = await preview(desk, [line, mic]);
    expect(got(round)).toEqual({
      "1/mic": 1,
      "2/mic": 2,
      "3/mic": 3,
      "4/mic": 4,
      "1/line": 5,
      "2/line": 6,
      "3/line": 7,
      "4/line": 8,
    });
    expect(round.warnings).toEqual([]);
    expect(round.paths[2].take).toMatchObject({ file: mic, channel: 2 });
    expect(round.paths[2].take).not.toHaveProperty("partnerChannel");
  });

  it("holds the inputs one after the other where its name tells none", slow, async () => {
    const [a, b] = [answers([1, 2, 3, 4]), answers([5, 6, 7, 8])];
    const file = capture(
      desk,
      "evening.wav",
      a.map((x, k) => joined(x, b[k])),
    );
    const round = await preview(desk, [file]);
    expect(got(round)).toMatchObject({ "1/mic": 1, "4/mic": 4, "1/line": 5, "4/line": 8 });
    expect(round.warnings).toEqual([]);
  });

  it("shows a strip that passes nothing while the others are heard", async () => {
    const round = await preview(desk, [capture(desk, "mic.wav", answers([1, 0, 3, 4]))]);
    expect(got(round)).toEqual({ "1/mic": 1, "2/mic": "unusable", "3/mic": 3, "4/mic": 4 });
    expect(round.paths[1].reason).toMatch(/^nothing of the signal came back \(silence, /);
    expect(round.paths[1].causes[0].cause).toBe("no-signal");
  });

  it("tells a track that was not armed from a strip that passes nothing", async () => {
    const channels = answers([1, 2, 3, 4]).map((x, k) => (k === 1 ? new Float64Array(length) : x));
    const round = await preview(desk, [capture(desk, "mic.wav", channels)]);
    expect(got(round)).toEqual({ "1/mic": 1, "2/mic": "unusable", "3/mic": 3, "4/mic": 4 });
    expect(round.paths[1].reason).toMatch(/^nothing was recorded \(digital silence\)/);
    expect(round.paths[1]).toMatchObject({ findings: [], causes: [] });
  });

  it(
    "may hold the strips one after the other, with crosstalk onto the other channels",
    slow,
    async () => {
      const quiet = pause(0.3, rate);
      const turns = [1, 2, 3, 4].map((k) => answers([k])[0]);
      const channels = [0, 1, 2, 3].map((channel) =>
        joined(...turns.flatMap((x, k) => [x.map((y) => (k === channel ? y : 0.003 * y)), quiet])),
      );
      const round = await preview(desk, [capture(desk, "mic.wav", channels)]);
      expect(got(round)).toEqual({ "1/mic": 1, "2/mic": 2, "3/mic": 3, "4/mic": 4 });
      expect(round.warnings).toEqual([]);
      // 20 lg 0.003 = −50.5 dB.
      const { x, y } = round.paths[0].curves.crosstalk;
      expect(y[x.findIndex((hz) => hz > 990)]).toBeCloseTo(-50.5, 0);
    },
  );

  it("stands beside captures of the mix output, which go on by name and order", async () => {
    const mic = capture(desk, "mic.wav", answers([1, 2, 3, 4]));
    const [again] = answers([7]);
    const round = await preview(desk, [mic, capture(desk, "3-mic take 2.wav", [again])]);
    expect(got(round)).toEqual({ "1/mic": 1, "2/mic": 2, "3/mic": 7, "4/mic": 4 });
    expect(round.paths[2].otherTakes).toHaveLength(1);
  });

  it("may be as wide as 64 channels", slow, async () => {
    const wide = deskWith("channels: 1-64", 64, ["mic"]);
    const one = answer(rate, { noise: 0 });
    const channels = Array.from({ length: 64 }, (_, k) =>
      one.map((x, n) => x * (1 - k / 100) + 1e-6 * ((n * (k + 7)) % 11)),
    );
    const round = await preview(wide, [capture(wide, "evening.wav", channels)], {
      only: ["1", "64"],
    });
    expect(round.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
    expect(round.paths[1].readings.gain.value).toBeCloseTo(20 * Math.log10(0.37), 2);
  });
});

describe("channels that are not the strips in order", () => {
  it("are paths, strips or not used, as the desk file says", async () => {
    const odd = deskWith("channels: [4, none, 2/line, 1]");
    const round = await preview(odd, [capture(odd, "mic.wav", answers([1, 2, 3, 4]))]);
    expect(got(round)).toEqual({ "4/mic": 1, "1/mic": 4 });
    expect(round.warnings).toEqual([
      expect.stringMatching(/mic\.wav: returns are on channels 2, 3, for which no path is known/),
    ]);
  });

  it("are as --map says, for all captures or for each", async () => {
    const plain = deskWith("", 4, ["mic"]);
    const file = capture(plain, "evening.wav", answers([1, 2, 3]));
    const round = await preview(plain, [file], { map: "ch1 4/mic, ch3 2" });
    expect(got(round)).toEqual({ "4/mic": 1, "2/mic": 3 });
    const map = join(plain, "map.txt");
    writeFileSync(map, "evening.wav ch3 1/mic\nevening.wav ch2 -\nevening.wav ch1 #1 3/mic\n");
    expect(got(await preview(plain, [file], { map }))).toEqual({ "1/mic": 3, "3/mic": 1 });
  });

  it("are refused where the map is wrong, with its place", async () => {
    const file = capture(desk, "evening.wav", answers([1, 2, 3]));
    const refusal = (map: string) => preview(desk, [file], { map });
    await expect(refusal("ch1 1/mic, ch1 2/mic")).rejects.toThrow("the channel is listed twice");
    await expect(refusal("ch0 1/mic")).rejects.toThrow("channels are counted from 1 to 64");
    await expect(refusal("ch1 9/mic")).rejects.toThrow('"ch1 9/mic": the desk has no path 9/mic');
    await expect(refusal("evening.wav ch4 1/mic")).rejects.toThrow(
      "evening.wav has no return #1 on channel 4",
    );
  });

  it("are unknown without either, and that is said", async () => {
    const plain = deskWith("", 4, ["mic"]);
    const round = await preview(plain, [capture(plain, "evening.wav", answers([1, 2, 3]))]);
    expect(round.warnings[0]).toMatch(
      /more than two channels at once; .* `channels` in desk\.yaml/,
    );
  });
});

describe("channels in the desk file", () => {
  it.each([
    ["channels: 1-9", "the desk has no strip 5."],
    ["channels: [1/mic, 9/line]", "the desk has no path 9/line."],
    ["channels: '-'", '"channels" names no strip.'],
  ])("as %s are refused with the line", (line, message) => {
    expect(() => readDesk(deskWith(line))).toThrow(
      new RegExp(`line \\d+: ${message.replace(".", "\\.")}`),
    );
  });
});

describe("a stereo capture one side of which fails during a return", () => {
  const strips = [1, 2, 3, 4];
  const plain = deskWith("", 4, ["mic"]);
  /** Both sides of four returns in a row; the right side of the second one is as given. */
  const sides = (right: Float64Array) => [
    joined(...strips.map((k) => answers([k])[0])),
    joined(
      ...strips.map((k) => (k === 2 ? right : answer(rate, { gain: 1 - k / 10, seed: 9 * k }))),
    ),
  ];

  it("to digital silence is a doubt about that recording", async () => {
    const file = capture(plain, "evening.wav", sides(new Float64Array(length)));
    const round = await preview(plain, [file]);
    expect(got(round)).toEqual({ "1/mic": 1, "2/mic": 2, "3/mic": 3, "4/mic": 4 });
    expect(round.warnings).toEqual([
      expect.stringMatching(/^2\/mic: the right side is digital silence, .* record it again\.$/),
    ]);
    expect(round.paths.map(({ take }) => take?.partnerChannel)).toEqual([1, undefined, 1, 1]);
    expect(round.paths[1].findings).toEqual([]);
  });

  it("to mere noise is a fault of that side", async () => {
    const file = capture(plain, "evening.wav", sides(pause(length / rate, rate)));
    const round = await preview(plain, [file]);
    expect(round.warnings).toEqual([]);
    expect(round.paths[1].findings.map(({ words }) => words).join()).toContain("right side");
  });

  it("counts by another take that has both", slow, async () => {
    const file = capture(plain, "evening.wav", sides(answer(rate, { gain: 0.8, seed: 18 })));
    const [left, right] = [answer(rate, { gain: 0.8, seed: 50 }), new Float64Array(length)];
    const again = capture(plain, "2-mic take 2.wav", [left, right]);
    const round = await preview(plain, [file, again]);
    expect(round.paths[1].take).toMatchObject({ file, chosen: "health" });
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /^2\/mic: .*, because take 2 is worse: one of its sides was not recorded\.$/,
      ),
    ]);
  });
});
