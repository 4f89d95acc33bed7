import { appendFileSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { getMorningLog, readMornings } from "../../src/history/morning-log.js";
import { analyze } from "../../src/jobs/analyze.js";
import { halve } from "../../src/jobs/halve.js";
import { checkMorning, type MorningRequest } from "../../src/jobs/morning.js";
import { formatMorningSentence, formatUnseen, renderMornings } from "../../src/report/morning.js";
import { passChannels } from "./pass-recordings.js";
import { newDesk, writeCapture } from "./recordings.js";

// Expected values: the recordings' own construction: gains and noise as they were put in.

const rate = 48_000;
const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function deskWith(lines: string, strips: number): string {
  const folder = newDesk(strips, ["mic", "tape"]);
  folders.push(folder);
  const file = join(folder, "desk.yaml");
  writeFileSync(file, `${readFileSync(file, "utf8").replace(/^order:.*$/m, "")}\n${lines}\n`);
  return folder;
}

let count = 0;
function morning(
  desk: string,
  gains: readonly number[],
  more: Partial<MorningRequest> & {
    readonly noise?: number;
    /** Channel that comes back through an RC low-pass of 6 kHz, from 0. */
    readonly dull?: number;
  } = {},
) {
  const { noise = 1e-5, dull, ...rest } = more;
  const heard = Object.fromEntries(
    gains.map((gain, k) => [k + 1, gain === 0 ? [] : { channel: k, gain }]),
  );
  const channels = passChannels("together", 4, heard, 4, ++count, noise);
  if (dull !== undefined) lowPass(channels[dull], 6000);
  const recording = writeCapture(join(desk, `m${count}.wav`), channels, rate, "float32");
  return checkMorning({ desk, recording, sampleRate: rate, take: "as-judged", ...rest }, () => {});
}

/** First order, matched at 0 and at half the rate by the bilinear transform, in place. */
function lowPass(samples: Float64Array, cornerHz: number): void {
  const k = Math.tan((Math.PI * cornerHz) / rate);
  let before = 0;
  let out = 0;
  for (let n = 0; n < samples.length; n++) {
    out = (k * (samples[n] + before) + (1 - k) * out) / (1 + k);
    before = samples[n];
    samples[n] = out;
  }
}

describe("the morning", () => {
  const desk = deskWith("outputs: [1-4/tape]\nchannels: 1-4", 4);

  it("says in one sentence what is not as on the last good day", async () => {
    const first = await morning(desk, [1, 1, 1, 1], { date: "2031-03-10" });
    expect(first.entry).toMatchObject({ verdict: "good" });
    expect(first.entry.sentence).toBe(
      "First good day: 4 wired paths measured, to compare the next with.",
    );
    const same = await morning(desk, [1, 1, 1, 1], { date: "2031-03-11" });
    expect(same.entry.sentence).toBe("All 4 wired paths are as on 2031-03-10.");
    // 20·lg 0.7 = −3.1 dB.
    const weaker = await morning(desk, [1, 1, 0.7, 1], { date: "2031-03-12" });
    expect(weaker.entry).toMatchObject({ verdict: "changed" });
    expect(weaker.entry.sentence).toMatch(/^Not as on 2031-03-11: 3\/tape level 3\.1 dB down.*\.$/);
    // The day before was no good one: it is no yardstick.
    const still = await morning(desk, [1, 1, 0.7, 1], { date: "2031-03-13" });
    expect(still.entry.sentence).toMatch(/^Not as on 2031-03-11: 3\/tape/);
    const dead = await morning(desk, [1, 0, 1, 1], { date: "2031-03-14" });
    expect(dead.entry.sentence).toMatch(/2\/tape gives nothing back \(strip, cable or output\)/);
    expect(dead.unseen).toEqual(["mic"]);
    expect(formatUnseen(dead.unseen)).toMatch(/^Not checked: mic inputs, .*controls/);
  });

  it("hears treble that is gone from one path", async () => {
    const dull = await morning(desk, [1, 1, 1, 1], { date: "2031-03-14", dull: 2 });
    // The square of tan(π·f/48)/tan(π·6/48), f in kHz: 10·lg of 1 + 41.1 less 1 + 0.025 is 16.1 dB.
    expect(dull.entry.sentence).toMatch(/3\/tape .*response at 19 kHz 16 dB down/);
    expect(dull.entry.verdict).toBe("changed");
  });

  it("blames what all paths share where all are off alike", async () => {
    const lower = await morning(desk, [0.8, 0.8, 0.8, 0.8], { date: "2031-03-15" });
    // 20·lg 0.8 = −1.9 dB.
    expect(lower.entry.sentence).toMatch(/all 4 paths, level 1\.9 dB down.*what they share/);
    expect(lower.entry.sentence).not.toMatch(/1\/tape/);
  });

  it("takes a morning as good when told so", async () => {
    const accepted = await morning(desk, [0.8, 0.8, 0.8, 0.8], {
      date: "2031-03-16",
      take: "good",
    });
    expect(accepted.entry.verdict).toBe("good");
    const next = await morning(desk, [0.8, 0.8, 0.8, 0.8], { date: "2031-03-17" });
    expect(next.entry.sentence).toBe("All 4 wired paths are as on 2031-03-16.");
  });

  it("keeps a line a day, passes over what is damaged and draws the days of a path", async () => {
    const { entries } = readMornings(desk);
    appendFileSync(getMorningLog(desk), "{ half a line\n");
    expect(readMornings(desk)).toMatchObject({ damaged: 1 });
    expect(readMornings(desk).entries).toHaveLength(entries.length);
    const drawn = renderMornings(entries, "3/tape", { width: 80, colour: false } as never);
    expect(drawn.split("\n").filter((line) => line.startsWith("2031-"))).not.toHaveLength(0);
    const again = await morning(desk, [0.8, 0.8, 0.8, 0.8], { date: "2031-03-18" });
    expect(again.damaged).toBe(1);
    expect(readFileSync(getMorningLog(desk), "utf8")).toContain("{ half a line");
  });

  it("does not take silence for an unusable recording", () => {
    const comparison = {
      against: "2031-03-10",
      compared: 2,
      changes: [
        { kind: "silent", path: "1/tape" },
        { kind: "silent", path: "2/tape" },
      ],
    } as const;
    expect(formatMorningSentence(comparison, 2)).toMatch(/^Nothing came back from any wired path/);
  });

  it("refuses a desk on which nothing is wired", async () => {
    const bare = deskWith("outputs: 4", 4);
    await expect(morning(bare, [1, 1, 1, 1])).rejects.toThrow(/No output of desk.yaml is wired/);
  });
});

describe("what strips give together", () => {
  // Four are patched while the other four play.
  const desk = deskWith("outputs: 8", 16);
  const heardFrom = (first: number) =>
    Object.fromEntries([1, 0.98, 0.96, 0.94].map((gain, k) => [first + k, { channel: 0, gain }]));
  const heard = heardFrom(1);
  /** Pass files of all eight passes; the third has 4 dB more noise. */
  const passFile = (number: number, noise: number) =>
    writeCapture(
      join(desk, `pass ${number}.wav`),
      passChannels("turns", 1, heardFrom(number % 2 === 1 ? 1 : 5), 8, 50 + number, noise),
      rate,
      "float32",
    );

  it("is judged as a sum, taken out of each path, and halved", async () => {
    const loud = 1e-5 * 10 ** (4 / 20);
    const files = Array.from({ length: 8 }, (_, k) => passFile(k + 1, k === 2 ? loud : 1e-5));
    const round = await analyze(
      { desk, captures: files, silent: [], keep: "store", date: "2031-03-14" },
      () => {},
    );
    for (const { readings, absent } of round.paths) {
      expect(readings.noise).toBeUndefined();
      expect(absent.noise).toBe(
        "4 strips were open at once, so it belongs to all of them together",
      );
      expect(readings.gain).toBeDefined();
    }
    const high = (round.sums ?? []).filter(({ verdict }) => verdict === "too-high");
    expect(high).toHaveLength(1);
    expect(high[0]).toMatchObject({ reading: "hiss", against: "siblings" });
    expect(high[0].value - (high[0].expected ?? 0)).toBeCloseTo(4, 0);
    expect(round.remarks.join()).toMatch(/together is [34]\.\d dB above .*At most 3 plays/);

    const request = { desk, round: "last", which: 1, recordings: [] };
    const { step, sum } = await halve(request, () => {});
    expect(step).toMatchObject({ do: "play", open: sum.paths.slice(0, 2), most: 3 });
    // 10^0.4 = 2.5 with all of them, 1 with four sound ones: half with it gives between 2 and 2.5.
    const withIt = writeCapture(
      join(desk, "play 1.wav"),
      passChannels("turns", 1, { 1: heard[1], 2: heard[2] }, 4, 90, 1e-5 * Math.sqrt(2.1)),
      rate,
      "float32",
    );
    const next = await halve({ ...request, recordings: [withIt] }, () => {});
    expect(next.step).toMatchObject({ do: "play", open: [sum.paths[0]] });

    // The returns say who was open: the first play again, the whole group, another pass.
    const again = halve({ ...request, recordings: [withIt, withIt] }, () => {});
    await expect(again).rejects.toThrow(`${sum.paths[1]} came back and should have been muted`);
    const whole = halve({ ...request, recordings: [files[2]] }, () => {});
    await expect(whole).rejects.toThrow(/came back and should have been muted/);
    const single = writeCapture(
      join(desk, "single.wav"),
      passChannels("turns", 1, { 5: heard[1] }, 8, 91, 1e-5),
      rate,
      "float32",
    );
    const other = halve({ ...request, recordings: [single] }, () => {});
    await expect(other).rejects.toThrow(/not a play of pass 3/);
  });
});
