import { describe, expect, it } from "vitest";
import { computeLevelSteps } from "../../src/measure/level-steps.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { excerpt, returnThrough } from "../helpers/excerpt.js";

const rate = 48_000;
const names = ["silence", "tone-1k", "steps-1k"];
const table = excerpt(buildSignalTable("standard", "base"), names);
const db = (ratio: number) => 20 * Math.log10(ratio);

describe("the level steps", () => {
  it("are those of a cubic by its closed form: gain 1 − ¾·k·a², third harmonic ¼·k·a²", () => {
    // x − k·x³ for x = a·cos: (a − ¾·k·a³)·cos − ¼·k·a³·cos 3 (power-reduction formula).
    const k = 0.02;
    const found = computeLevelSteps(
      createReturnContext(returnThrough(table, rate, (x) => x - k * x ** 3, 1e-8)),
    );
    expect(found.map(({ aboveNominalDb }) => Math.round(aboveNominalDb))).toEqual([
      -60, -40, -20, 0, 6, 10, 12, 14, 17,
    ]);
    const squared = (level: number) => 10 ** ((-18 + level) / 10);
    const gain = (level: number) => 1 - 0.75 * k * squared(level);
    for (const { aboveNominalDb: level, gainDb, uncertainty, distortionDb } of found) {
      expect(Math.abs(gainDb - db(gain(level) / gain(0)))).toBeLessThan(uncertainty);
      if (level < 0) continue;
      const third = db((0.25 * k * squared(level)) / gain(level));
      expect(Math.abs((distortionDb ?? 0) - third)).toBeLessThan(0.1);
    }
  });

  it("name no distortion where noise hides it, and what a tone shows above it", () => {
    // A step at −78 dBFS is 19 dB above noise of 1e-5 per sample; one at −18 dBFS is 79 dB above it.
    const through = (x: number) => x - 0.02 * x ** 3;
    const steps = computeLevelSteps(createReturnContext(returnThrough(table, rate, through, 1e-5)));
    const at = (level: number) =>
      steps.find(({ aboveNominalDb }) => Math.round(aboveNominalDb) === level);
    expect(at(-60)).toMatchObject({ gainDb: expect.closeTo(0, 0) });
    expect(at(-60)).not.toHaveProperty("distortionDb");
    expect(at(14)).toHaveProperty("distortionDb");
  });

  it("are absent where the signal has one step only", () => {
    const quick = excerpt(buildSignalTable("quick", "base"), ["silence", "tone-1k", "steps-1k"]);
    expect(computeLevelSteps(createReturnContext(returnThrough(quick, rate, (x) => x)))).toEqual(
      [],
    );
  });
});
