import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { type PassForm, planPasses } from "../../src/desk/passes.js";
import { readDesk } from "../../src/desk/read/read-desk.js";
import type { Round } from "../../src/history/types.js";
import { type AnalyzeRequest, analyze } from "../../src/jobs/analyze.js";
import { passChannels } from "./pass-recordings.js";
import { newDesk, writeCapture } from "./recordings.js";

// Expected values: the recordings' own construction: each path answers with a gain of its own.

const rate = 48_000;
const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function deskWith(lines: string, strips: number, inputs: readonly string[]): string {
  const folder = newDesk(strips, inputs);
  folders.push(folder);
  const file = join(folder, "desk.yaml");
  writeFileSync(file, `${readFileSync(file, "utf8").replace(/^order:.*$/m, "")}\n${lines}\n`);
  return folder;
}

let count = 0;
function capture(desk: string, channels: readonly Float64Array[], name = "evening.wav"): string {
  const own = join(desk, `f${count++}`);
  mkdirSync(own);
  return writeCapture(join(own, name), channels, rate, "float32");
}

function joinedChannels(...parts: readonly (readonly Float64Array[])[]): Float64Array[] {
  return parts[0].map((_, k) => {
    const all = parts.map((part) => part[k]);
    const out = new Float64Array(all.reduce((sum, one) => sum + one.length, 0));
    let at = 0;
    for (const one of all) {
      out.set(one, at);
      at += one.length;
    }
    return out;
  });
}

function preview(desk: string, captures: readonly string[], more: Partial<AnalyzeRequest> = {}) {
  return analyze({ desk, captures, silent: [], keep: "preview", ...more }, () => {});
}

/** Path to the gain it got, in hundredths; its status where it has none. */
function got({ paths }: Round): Record<string, number | string> {
  return Object.fromEntries(
    paths.flatMap(({ path, status, readings: { gain } }) => {
      if (status === "missing") return [];
      return [[path, gain ? Math.round(100 * 10 ** (gain.value / 20)) : status]];
    }),
  );
}

const gainOf = (k: number) => (100 - 3 * k) / 100;

describe("a pass whose outputs take turns, recorded on the mix bus", () => {
  const desk = deskWith("outputs: 3", 3, ["line", "tape"]);
  const plan = planPasses(readDesk(desk));

  it("gives each return the path that its output fed in that pass", async () => {
    const answers: Record<string, number> = {};
    const passes = plan.passes.map(({ plays }, p) => {
      const heard = Object.fromEntries(
        plays.map(({ output, path }, k) => {
          answers[path] = 100 - 3 * (3 * p + k);
          return [output, { channel: 0, gain: gainOf(3 * p + k) }];
        }),
      );
      return passChannels("turns", 1, heard, 3, p + 1);
    });
    const round = await preview(desk, [capture(desk, joinedChannels(...passes))]);
    expect(got(round)).toEqual(answers);
    expect(round.warnings).toEqual([]);
  });

  it("knows whose turn was silent, and that an output was not", async () => {
    const [first] = plan.passes;
    const heard = { 1: { channel: 0, gain: 1 }, 3: { channel: 0, gain: 0.5 } };
    const file = capture(desk, passChannels("turns", 1, heard, 3));
    const round = await preview(desk, [file]);
    const silent = first.plays[1].path;
    expect(got(round)).toEqual({
      [first.plays[0].path]: 100,
      [silent]: "unusable",
      [first.plays[2].path]: 50,
    });
    const dead = round.paths.find(({ path }) => path === silent);
    expect(dead?.reason).toMatch(/nothing came back in the turn of output 2/);
    expect(dead?.rank).toBeDefined();
  });

  it("blames no strip for outputs that the player does not have", async () => {
    const wide = deskWith("outputs: 4", 8, ["line"]);
    const two = { 1: { channel: 0, gain: 1 }, 2: { channel: 0, gain: 0.97 } };
    const file = capture(
      wide,
      joinedChannels(passChannels("turns", 1, two, 4, 1), passChannels("turns", 1, two, 4, 2)),
    );
    const round = await preview(wide, [file]);
    expect(round.warnings.join()).toMatch(/outputs 3 and 4 was heard|outputs 3, 4/);
    const lacking = round.paths.filter(({ status }) => status !== "measured");
    expect(lacking).toHaveLength(4);
    for (const { rank, causes, reason } of lacking) {
      expect(rank).toBeUndefined();
      expect(causes).toEqual([]);
      expect(reason).toMatch(/output [34] was not found in any pass/);
    }
  });

  it("takes a file that is named for its pass as that", async () => {
    const second = plan.passes[1];
    const heard = Object.fromEntries(
      second.plays.map(({ output }) => [output, { channel: 0, gain: 1 }]),
    );
    const file = capture(desk, passChannels("turns", 1, heard, 3), "pass 2.wav");
    const round = await preview(desk, [file]);
    expect(Object.keys(got(round)).sort()).toEqual(second.plays.map(({ path }) => path).sort());
  });

  it("refuses a pass where the desk file says nothing about outputs", async () => {
    const without = deskWith("", 3, ["line"]);
    const file = capture(without, passChannels("turns", 1, { 1: { channel: 0, gain: 1 } }));
    await expect(preview(without, [file])).rejects.toThrow(/does not say what they are connected/);
  });
});

describe("a pass whose paths come back on channels of their own", () => {
  const desk = deskWith("outputs: [1-6/tape]\nchannels: 1-6", 6, ["tape"]);
  const straight = (gain: (output: number) => number) =>
    Object.fromEntries([1, 2, 3, 4, 5, 6].map((k) => [k, { channel: k - 1, gain: gain(k) }]));

  it.each(["turns", "together", "at-once"] as const)("is read by output (%s)", async (form) => {
    const channels = passChannels(form, 6, straight(gainOf));
    const round = await preview(desk, [capture(desk, channels)]);
    expect(got(round)).toEqual(
      Object.fromEntries([1, 2, 3, 4, 5, 6].map((k) => [`${k}/tape`, 100 - 3 * k])),
    );
    expect(round.warnings).toEqual([]);
  });

  it("reads crosstalk between neighbours of outputs that play together", async () => {
    const heard = Object.fromEntries(
      [1, 2, 3, 4, 5, 6].map((k) => [
        k,
        [{ channel: k - 1, gain: 1 }, ...(k < 6 ? [{ channel: k, gain: 0.01 }] : [])],
      ]),
    );
    const round = await preview(desk, [capture(desk, passChannels("together", 6, heard))]);
    // 40 dB down, into the channel above alone; channel 1 has none below.
    for (const { path, curves } of round.paths.slice(0, 5)) {
      const curve = curves.crosstalk ?? curves[`crosstalk-${Number(path[0]) + 1}`];
      const at = curve.x.findIndex((hz) => hz >= 1000);
      expect(curve.y[at], path).toBeCloseTo(-40, 0);
    }
  });

  it("gives the same readings where all outputs play at once beside 60 dB of crosstalk", async () => {
    const heard = Object.fromEntries(
      [1, 2, 3, 4, 5, 6].map((k) => [
        k,
        [1, 2, 3, 4, 5, 6].map((c) => ({
          channel: c - 1,
          gain: c === k ? gainOf(k) : Math.abs(c - k) === 1 ? 0.001 : 0,
        })),
      ]),
    );
    const read = async (form: PassForm) =>
      preview(desk, [capture(desk, passChannels(form, 6, heard))]);
    const [turns, once] = [await read("turns"), await read("at-once")];
    const off = turns.paths.flatMap(({ path, readings }, k) =>
      Object.entries(readings).flatMap(([id, a]) => {
        const b = once.paths[k].readings[id];
        if (b === undefined) return [`${path} ${id} is absent`];
        if (a.bound || b.bound) return [];
        const apart = Math.abs(a.value - b.value);
        // Two neighbours 60 dB down in phase move a level by 0.02 dB.
        const most =
          1.5 * Math.hypot(a.uncertainty, b.uncertainty) +
          (id === "level" || id === "gain" ? 0.02 : 0);
        return apart > most ? [`${path} ${id} ${a.value} ${b.value} ± ${b.uncertainty}`] : [];
      }),
    );
    expect(off).toEqual([]);
    expect(once.paths[2].curves.crosstalk).toBeUndefined();
  });

  it("says of a path that stands out that its output may be to blame", async () => {
    const channels = passChannels(
      "together",
      6,
      straight((k) => (k === 3 ? 0.5 : 1)),
    );
    const round = await preview(desk, [capture(desk, channels)]);
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /^3\/tape: strip, cable and output of the interface cannot be told apart/,
      ),
    ]);
  });

  it("leaves out two paths whose channels were exchanged", async () => {
    const heard = {
      ...straight(() => 1),
      2: { channel: 3, gain: 0.9 },
      4: { channel: 1, gain: 0.8 },
    };
    const round = await preview(desk, [capture(desk, passChannels("together", 6, heard))]);
    expect(round.warnings.join()).toMatch(
      /output 2 came back on channel 4 instead of 2, output 4 came back on channel 2 instead of 4/,
    );
    const lost = round.paths.filter(({ status }) => status !== "measured");
    expect(lost.map(({ path }) => path)).toEqual(["2/tape", "4/tape"]);
    for (const { causes, rank } of lost) expect([causes, rank]).toEqual([[], undefined]);
  });

  it("recognises that the recorder dropped a channel", async () => {
    const all = passChannels("together", 6, straight(gainOf));
    const round = await preview(desk, [capture(desk, [...all.slice(0, 2), ...all.slice(3)])]);
    expect(round.warnings.join()).toMatch(/channel 3 is missing and all later ones/);
    expect(got(round)).toMatchObject({ "2/tape": 94, "4/tape": 88, "6/tape": 82 });
    expect(round.paths[2].status).toBe("unusable");
  });

  it("says that a channel is missing which no path of the pass uses, and loses nothing", async () => {
    const wide = deskWith("outputs: [1-6/tape]\nchannels: 1-9", 9, ["tape"]);
    const channels = passChannels("together", 8, straight(gainOf));
    const round = await preview(wide, [capture(wide, channels)], { only: ["1-6"] });
    expect(round.warnings).toEqual([expect.stringMatching(/8 channels, and desk\.yaml names 9/)]);
    expect(round.paths.filter(({ status }) => status === "measured")).toHaveLength(6);
    // As many as are used are recorded on purpose.
    const few = await preview(wide, [capture(wide, channels.slice(0, 6))], { only: ["1-6"] });
    expect(few.warnings).toEqual([]);
  });

  it("recognises a channel of digital silence as the recorder's", async () => {
    const all = passChannels("together", 6, straight(gainOf));
    // With what dither of 24 bit leaves of it.
    all[4].fill(0).forEach((_, i, own) => {
      own[i] = ((i % 3) - 1) / 2 ** 23;
    });
    const round = await preview(desk, [capture(desk, all)]);
    expect(round.paths[4]).toMatchObject({ status: "unusable", causes: [] });
    expect(round.paths[4].reason).toMatch(/digital silence/);
  });

  it.each(["together", "at-once"] as const)(
    "refuses outputs that played %s and were recorded as one",
    async (form) => {
      const mono = Object.fromEntries(
        [1, 2, 3, 4, 5, 6].map((k) => [k, { channel: 0, gain: gainOf(k) }]),
      );
      const file = capture(desk, passChannels(form, 1, mono));
      await expect(preview(desk, [file])).rejects.toThrow(/several outputs at once on one channel/);
    },
  );

  it("takes turns that were recorded as one by their outputs, noise as that of all", async () => {
    const mono = Object.fromEntries(
      [1, 2, 3, 4, 5, 6].map((k) => [k, { channel: 0, gain: gainOf(k) }]),
    );
    const round = await preview(desk, [capture(desk, passChannels("turns", 1, mono))]);
    expect(got(round)).toMatchObject({ "1/tape": 97, "6/tape": 82 });
    expect(round.warnings.join()).toMatch(/was recorded on one channel/);
  });
});
