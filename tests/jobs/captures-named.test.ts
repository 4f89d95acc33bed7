import { appendFileSync, mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import type { Assignment, SignalSpan } from "../../src/capture/types.js";
import { analyze } from "../../src/jobs/analyze.js";
import { renderAssignment } from "../../src/report/assignment.js";
import { answer, joined, newDesk, writeCapture } from "./recordings.js";

// Expected values: the recordings' own construction (tests/jobs/recordings.ts).

const rate = 48_000;
const folder = newDesk(3, ["mic", "line"]);
appendFileSync(
  join(folder, "desk.yaml"),
  `captures:
  - mic: [Mikrofon <strip> (<take>), Spur <strip> <any>]
  - line: [Leitung <strip>, Leitungen, Spur <any> <strip>]
`,
);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Told apart by their gains, 0.9, 0.8, …. */
const answers = [1, 2, 3, 4, 5].map((k) => answer(rate, { gain: 1 - k / 10, seed: k }));

let count = 0;
function capture(name: string, samples: Float64Array): string {
  const own = join(folder, `f${count++}`);
  mkdirSync(own);
  return writeCapture(join(own, name), [samples], rate, "float32");
}

async function preview(captures: readonly string[], map?: string) {
  let taken: readonly Assignment<SignalSpan>[] = [];
  const request = { desk: folder, captures, silent: [], keep: "preview" } as const;
  const round = await analyze(
    map === undefined ? request : { ...request, map },
    () => {},
    (assignments) => {
      taken = assignments;
    },
  );
  const got = round.paths.flatMap(({ path, readings: { gain } }) =>
    gain === undefined ? [] : [[path, Math.round(10 * (1 - 10 ** (gain.value / 20)))]],
  );
  return { round, got: Object.fromEntries(got), taken };
}

describe("captures named by the patterns of the desk file", () => {
  it("go to the paths that these tell, whatever their order, and are reported as such", async () => {
    const files = [
      capture("MIKROFON 003 (1).wav", answers[0]),
      capture("Mikrofon 1 (12).wav", answers[1]),
      capture("Mikrofon 1 (9).wav", answers[2]),
      capture("Leitung 2.wav", answers[3]),
      capture("02-mic.wav", answers[4]),
    ];
    const { round, got, taken } = await preview(files);
    expect(got).toEqual({ "1/mic": 2, "2/mic": 5, "3/mic": 1, "2/line": 4 });
    expect(round.warnings).toEqual([`1/mic: was recorded 2 times; the one in ${files[1]} counts.`]);
    const lines = renderAssignment(taken, 400).split("\n");
    expect(lines).toEqual([
      "Assigned to:",
      ...["3/mic", "1/mic", "1/mic", "2/line", "2/mic"].map(
        (path, k) => `  ${files[k]}: ${path}, by its name`,
      ),
    ]);
  });

  it("may hold one input of every strip, whose single takes stand elsewhere", async () => {
    const all = capture("leitungen.WAV", joined(answers[0], answers[1], answers[2]));
    const { got } = await preview([capture("Leitung 02.wav", answers[4]), all]);
    expect(got).toEqual({ "1/line": 1, "2/line": 5, "3/line": 3 });
  });

  it("are refused where none is of the paths that are asked for, and --silent is not blamed", async () => {
    const captures = [capture("Leitung 2.wav", answers[3])];
    const only = ["1/mic"];
    const asked = analyze({ desk: folder, captures, silent: [], keep: "preview", only }, () => {});
    await expect(asked).rejects.toThrow(/holds returns, but none of the paths requested/);
  });

  it("are refused where a name tells two paths, unless the map says which it is", async () => {
    const file = capture("Spur 1 2.wav", answers[0]);
    await expect(preview([file])).rejects.toMatchObject({
      code: "usage",
      message: `${file}: its name fits 1/mic ("Spur <strip> <any>") and 2/line ("Spur <any> <strip>"), by \`captures\` of the desk file.`,
      hint: "Say with --map which path it is, rename the file, or make the patterns more specific.",
    });
    expect((await preview([file], "3/line")).got).toEqual({ "3/line": 1 });
  });

  it("are doubted where a name fits but for a strip that the desk has not", async () => {
    const file = capture("Leitung 4.wav", answers[0]);
    const { round } = await preview([file]);
    expect(round.warnings).toEqual([
      `${file}: fits the pattern "Leitung <strip>" except for strip 4, which this desk does not have.`,
      expect.stringContaining("taken in order"),
    ]);
  });
});
