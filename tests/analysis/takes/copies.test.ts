import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { computeFingerprint } from "../../../src/capture/fingerprint.js";
import type { Round } from "../../../src/history/types.js";
import { analyze } from "../../../src/jobs/analyze.js";
import { answer, joined, newDesk, pause, writeCapture } from "../../jobs/recordings.js";

// Expected values: the recordings' own construction (tests/jobs/recordings.ts).

const rate = 48_000;
const folder = newDesk(3);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let count = 0;
function named(name: string, channels: readonly Float64Array[]): string {
  const own = join(folder, `f${count++}`);
  mkdirSync(own);
  return writeCapture(join(own, name), channels, rate, "float32");
}

function preview(captures: readonly string[], map?: string): Promise<Round> {
  const more = map === undefined ? {} : { map };
  return analyze({ desk: folder, captures, silent: [], keep: "preview", ...more }, () => {});
}

const [one, two] = [1, 2].map((seed) => answer(rate, { gain: 1 - seed / 10, seed }));

describe("two paths that are identical to the sample", () => {
  it("are neither judged, though the rest of their files differs", async () => {
    const first = named("01-mic.wav", [joined(pause(0.4, rate), one)]);
    const copy = named("02-mic.wav", [joined(pause(0.7, rate), one)]);
    const round = await preview([first, copy, named("03-mic.wav", [two])]);
    expect(round.paths.map(({ status }) => status)).toEqual(["unusable", "unusable", "measured"]);
    expect(round.paths[0].reason).toBe(
      `identical to the sample with 2/mic in ${copy}: one is a copy, or one output was recorded as two; record it again`,
    );
    expect(round.paths[0]).toMatchObject({ findings: [], causes: [] });
  });

  it("are told by their channels where one output went onto two", async () => {
    const file = named("evening.wav", [one, one, two]);
    const round = await preview([file], "ch1 1/mic, ch2 2/mic, ch3 3/mic");
    expect(round.paths.map(({ status }) => status)).toEqual(["unusable", "unusable", "measured"]);
    expect(round.paths[1].reason).toMatch(/^identical to the sample with 1\/mic on channel 1:/);
  });
});

describe("a take that is a copy", () => {
  it("says nothing about repeatability, and the first one counts", async () => {
    const files = [
      named("01-mic.wav", [one]),
      named("01-mic take 2.wav", [joined(pause(1, rate), one)]),
    ];
    const { paths } = await preview(files);
    expect(paths[0]).toMatchObject({ status: "measured", take: { number: 1, chosen: "health" } });
    expect(paths[0].otherTakes).toMatchObject([
      { status: "unusable", reason: "a copy of take 1, identical to the sample" },
    ]);
  });
});

describe("a fingerprint", () => {
  it("is the same with a sample more at either end, and another with another noise", () => {
    const longer = joined(pause(1 / rate, rate), one, pause(2 / rate, rate));
    expect(computeFingerprint(longer)).toBe(computeFingerprint(one));
    expect(computeFingerprint(answer(rate, { gain: 0.9, seed: 7 }))).not.toBe(
      computeFingerprint(one),
    );
  });
});
