import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import type { Round, RoundPath } from "../../src/history/types.js";
import { analyze } from "../../src/jobs/analyze.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { slow } from "../helpers/slow.js";
import { answer, joined, newDesk, pause, quickS, writeCapture } from "./recordings.js";

// Expected values: the same recording in one file, and the places at which it was split.

const rate = 48_000;
const folder = newDesk(3);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const whole = joined(
  pause(0.5, rate),
  ...[1, 2, 3].flatMap((k) => [
    answer(rate, { gain: 1 - k / 10, seed: k, driftPpm: 40 }),
    pause(0.7, rate),
  ]),
);
/** Where the second return begins, samples. */
const second = 0.5 * rate + answer(rate, { driftPpm: 40 }).length + 0.7 * rate;

let count = 0;
/** Files under the given names, the recording split at the given samples. */
function split(names: readonly string[], at: readonly number[]): string[] {
  const own = join(folder, `f${count++}`);
  mkdirSync(own);
  const ends = [0, ...at.map(Math.round), whole.length];
  return names.map((name, k) =>
    writeCapture(join(own, name), [whole.subarray(ends[k], ends[k + 1])], rate, "float32"),
  );
}

function preview(captures: readonly string[]): Promise<Round> {
  return analyze({ desk: folder, captures, silent: [], keep: "preview" }, () => {});
}

/** The same to a hundredth of what is uncertain: filters begin their search elsewhere. */
function expectAlike(path: RoundPath, expected: RoundPath): void {
  expect(Object.keys(path.readings)).toEqual(Object.keys(expected.readings));
  for (const [id, { value, uncertainty }] of Object.entries(expected.readings)) {
    const off = Math.abs(path.readings[id].value - value);
    expect(off, id).toBeLessThanOrEqual(0.01 * uncertainty + 1e-9);
  }
}

/** The recording in one file. */
const one = preview(split(["evening.wav"], []));

const table = buildSignalTable("quick", "base");
const [start, end] = ["start", "end"].map(
  (which) => table.segments.find((s) => s.kind === "marker" && s.which === which)?.startS ?? 0,
);
/** Seconds into the signal. */
const joints: readonly (readonly [string, number])[] = [
  ["within its start marker", start + 0.1],
  ["between the chirps of its start marker", start + 0.16],
  ["within its sweep", 2.3],
  ["within its tone", 4.2],
  ["within its end marker", end + 0.1],
];

describe("a capture that the recorder split within a return", () => {
  const desk = newDesk(1);
  afterAll(() => rmSync(desk, { recursive: true, force: true }));

  /** The second return by itself, split in its midst. */
  const previewAlone = (names: readonly string[]) => {
    const own = join(folder, `f${count++}`);
    mkdirSync(own);
    const ends = [-0.5, 2.5, quickS + 0.5].map((afterS) => Math.round(second + afterS * rate));
    const captures = names.map((name, k) =>
      writeCapture(join(own, name), [whole.subarray(ends[k], ends[k + 1])], rate, "float32"),
    );
    return analyze({ desk, captures, silent: [], keep: "preview" }, () => {});
  };

  it.each(joints.slice(0, 2))("%s is read as one", readAsOne);
  it.each(joints.slice(2))("%s is read as one", slow, readAsOne);

  async function readAsOne(_: string, atS: number): Promise<void> {
    const at = Math.round(second + atS * rate * (1 + 40e-6));
    const files = split(["evening_001.wav", "evening_002.wav"], [at]);
    const round = await preview(files);
    const expected = (await one).paths;
    expect(round.warnings).toEqual([]);
    round.paths.forEach((path, k) => {
      expectAlike(path, expected[k]);
    });
    const [before, across, after] = round.paths.map(({ take }) => take);
    expect(before).toMatchObject({ file: files[0] });
    expect(before).not.toHaveProperty("endsIn");
    expect(across).toMatchObject({ file: files[0], endsIn: files[1] });
    expect(across?.startSample).toBeCloseTo((await one).paths[1].take?.startSample ?? 0, 2);
    // Times are those of the file that the return begins in.
    expect(after?.file).toBe(files[1]);
    expect(after?.startSample).toBeCloseTo(((await one).paths[2].take?.startSample ?? 0) - at, 2);
  }

  it("into pieces shorter than the signal is read as one", async () => {
    const names = ["a-1.wav", "a-2.wav", "a-3.wav", "a-4.wav"];
    const files = split(names, [second + 1.2 * rate, second + 2.9 * rate, second + 4.6 * rate]);
    const round = await preview(files);
    expect(round.paths.map(({ status }) => status)).toEqual(["measured", "measured", "measured"]);
    expectAlike(round.paths[1], (await one).paths[1]);
    expect(round.paths[1].take).toMatchObject({ file: files[0], endsIn: files[3] });
    expect(round.warnings).toEqual([]);
  });

  it.each([
    ["evening.wav", "evening-1.wav"],
    ["evening.wav", "evening (1).wav"],
    ["evening 1.wav", "evening 2.wav"],
    ["evening.wav", "evening_2.wav"],
    ["2031-03-14_009.wav", "2031-03-14_010.wav"],
  ])("is known by names such as %s and %s", async (...names) => {
    const { paths, warnings } = await previewAlone(names);
    expect(paths.map(({ status }) => status)).toEqual(["measured"]);
    expect(warnings).toEqual([]);
  });

  it("is two recordings where the names have nothing in common", async () => {
    const round = await preview(split(["monday.wav", "tuesday.wav"], [second + 2.5 * rate]));
    expect(round.paths.map(({ status }) => status)).toContain("unusable");
  });
});

describe("numbered takes that each lack a half", () => {
  it("are not put together: nothing lies at its right time", async () => {
    const own = join(folder, "halves");
    mkdirSync(own);
    const [a, b] = [1, 2].map((seed) => answer(rate, { seed }));
    const files = [a.subarray(0, 3 * rate), b.subarray(1.5 * rate)].map((samples, k) =>
      writeCapture(join(own, `01-mic_00${k + 1}.wav`), [samples], rate),
    );
    const third = writeCapture(join(own, "02-mic.wav"), [a], rate);
    const round = await preview([...files, third]);
    expect(round.paths.map(({ status }) => status)).toEqual(["unusable", "measured", "missing"]);
  });
});

describe("a capture that lost a second where the recorder changed files", () => {
  // 1.8 s into the second return a second is missing: both markers are there, nearer by that.
  const at = second + 1.8 * rate;
  const parts = (names: readonly [string, string], from = at + rate) => {
    const own = join(folder, `f${count++}`);
    mkdirSync(own);
    return [whole.subarray(0, at), whole.subarray(from)].map((samples, k) =>
      writeCapture(join(own, names[k]), [samples], rate, "float32"),
    );
  };
  const statuses = ({ paths }: Round) => paths.map(({ status }) => status);

  it("has lost the middle of one return, and the path behind it keeps its own", async () => {
    const files = parts(["dusk_001.wav", "dusk_002.wav"]);
    const round = await preview(files);
    expect(statuses(round)).toEqual(["measured", "unusable", "measured"]);
    expect(round.paths[1].reason).toMatch(
      /^the recorder lost more than half a second \(about 1\.0 s\) .* in another file; record it/,
    );
    expectAlike(round.paths[2], (await one).paths[2]);
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /dusk_001\.wav: the return that starts at 7\.\d s has lost about 1\.0 s before its end, which is in .*dusk_002\.wav\. .* 2\/mic/,
      ),
    ]);
  });

  it("or held one twice, has one return that is too long", async () => {
    const round = await preview(parts(["dusk_001.wav", "dusk_002.wav"], at - rate));
    expect(statuses(round)).toEqual(["measured", "unusable", "measured"]);
    expect(round.paths[1].reason).toMatch(/^the return lasts about 1\.0 s longer than the signal:/);
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /lasts about 1\.0 s longer than the signal and ends in .*dusk_002\.wav/,
      ),
    ]);
  });

  it("holds two cut returns where the files have nothing in common", async () => {
    const round = await preview(parts(["monday.wav", "tuesday.wav"]));
    expect(statuses(round)).toEqual(["measured", "unusable", "unusable"]);
  });
});

describe("captures of one path each that were both cut", () => {
  it("keep their places, though their numbers follow each other", async () => {
    const own = join(folder, "both-cut");
    mkdirSync(own);
    const [a, b, c] = [1, 2, 3].map((seed) => answer(rate, { seed }));
    const files = [a.subarray(0, 2 * rate), b.subarray(3 * rate), c].map((samples, k) =>
      writeCapture(join(own, `rec_00${k + 1}.wav`), [samples], rate, "float32"),
    );
    const round = await preview(files);
    expect(round.paths.map(({ status }) => status)).toEqual(["unusable", "unusable", "measured"]);
  });
});

describe("parts of a recording in the wrong order", () => {
  const withinReturn = second + 2.5 * rate;
  const between = second - 0.3 * rate;
  const reversed = (names: readonly string[], at: number) => preview(split(names, [at]).reverse());

  it("are refused where a return runs on from the one into the other", async () => {
    await expect(reversed(["a_001.wav", "a_002.wav"], withinReturn)).rejects.toMatchObject({
      code: "usage",
      message: expect.stringMatching(
        /a_002\.wav is listed before \S*a_001\.wav, but a return begins in \S*a_001\.wav and ends in/,
      ),
      hint: expect.stringMatching(/a_001\.wav first\.$/),
    });
  });

  it.each([
    ["a_001.wav", "a_002.wav"],
    ["9.wav", "10.wav"],
    ["evening.wav", "evening (1).wav"],
    ["mic part 1.wav", "mic part 2.wav"],
  ])("are refused by their numbers: %s and %s", async (...names) => {
    await expect(reversed(names, between)).rejects.toMatchObject({
      code: "usage",
      message: expect.stringMatching(
        /is listed before .*(by its number|the order of their numbers)/,
      ),
      hint: expect.stringMatching(/^Name them in the order they were recorded.*--map/),
    });
  });

  it("stay as given where their names do not count", async () => {
    const round = await reversed(["mic a.wav", "mic b.wav"], between);
    expect(round.paths.map(({ status }) => status)).toEqual(["measured", "measured", "measured"]);
    expect(round.warnings).toEqual([]);
  });

  it("are a doubt where each file holds a return: a path may have been played again", async () => {
    const own = join(folder, "again");
    mkdirSync(own);
    // The second path was recorded anew as number 4.
    const files = [1, 4, 3].map((k) =>
      writeCapture(join(own, `rec ${k}.wav`), [answer(rate, { seed: k })], rate, "float32"),
    );
    const round = await preview(files);
    expect(round.paths.map(({ take }) => take?.file)).toEqual(files);
    expect(round.warnings).toEqual([
      expect.stringMatching(
        /rec 4\.wav is listed before .*rec 3\.wav, though its number is the higher/,
      ),
    ]);
  });

  it("do not matter where each name is a path's, or a map tells", async () => {
    const own = join(folder, "strips");
    mkdirSync(own);
    const files = [3, 2, 1].map((k) =>
      writeCapture(join(own, `mic ${k}.wav`), [answer(rate, { seed: k })], rate, "float32"),
    );
    expect((await preview(files)).warnings).toEqual([]);
    const parts = split(["b_001.wav", "b_002.wav"], [between]).reverse();
    const map = "2/mic, 3/mic, 1/mic";
    const round = await analyze(
      { desk: folder, captures: parts, silent: [], keep: "preview", map },
      () => {},
    );
    expect(round.paths.map(({ take }) => take?.file)).toEqual([parts[1], parts[0], parts[0]]);
    expect(round.warnings).toEqual([]);
  });
});

describe("a path that stayed silent about the joint of two parts", () => {
  const played = (k: number) => answer(rate, { seed: k });
  const first = joined(pause(0.5, rate), played(1), pause(0.7, rate), played(2), pause(4, rate));
  // Nine seconds on both sides of the joint: room for the signal of six and one to press play.
  const second = joined(pause(5, rate), played(4), pause(0.5, rate));
  const desk = newDesk(4);
  afterAll(() => rmSync(desk, { recursive: true, force: true }));

  const warnings = async (names: readonly [string, string]) => {
    const own = join(folder, `f${count++}`);
    mkdirSync(own);
    const captures = [first, second].map((samples, k) =>
      writeCapture(join(own, names[k]), [samples], rate),
    );
    const request = { desk, captures, silent: [], keep: "preview" } as const;
    return (await analyze(request, () => {})).warnings.join("\n");
  };

  it("is noticed by the room it leaves", async () => {
    expect(await warnings(["night_001.wav", "night_002.wav"])).toMatch(
      /night_001\.wav and its further parts, .* \(before 3\/mic\) has room.*--silent 3\/mic/,
    );
  });

  it("leaves no room where the files have nothing in common", async () => {
    expect(await warnings(["monday.wav", "tuesday.wav"])).not.toContain("room");
  });
});
