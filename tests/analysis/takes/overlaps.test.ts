import { rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { analyze } from "../../../src/jobs/analyze.js";
import { joinSamples } from "../../helpers/samples.js";
import { answer, newDesk, pause, writeCapture } from "../../jobs/recordings.js";

// Expected values: the recordings' own construction (tests/jobs/recordings.ts).

const rate = 48_000;
const folder = newDesk(3);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("returns that lie over each other", () => {
  it("are not measured, neither of them, and those beside them are", async () => {
    const [one, two, three] = [1, 2, 3].map((seed) => answer(rate, { gain: 0.3, seed }));
    const mixed = new Float64Array(one.length + Math.round(2.5 * rate));
    mixed.set(one);
    two.forEach((x, n) => {
      mixed[n + mixed.length - two.length] += x;
    });
    const quiet = pause(1, rate);
    const samples = joinSamples(quiet, mixed, quiet, three, quiet);
    const file = writeCapture(join(folder, "evening.wav"), [samples], rate);
    const request = { desk: folder, captures: [file], silent: [], keep: "preview" } as const;
    const { paths } = await analyze(request, () => {});
    expect(paths.map(({ status }) => status)).toEqual(["unusable", "unusable", "measured"]);
    expect(paths[0].reason).toBe(
      "another return begins before it is over: the two overlap; play one at a time and record it again",
    );
    expect(paths[1].reason).toMatch(/^another return is not over yet:/);
  });
});
