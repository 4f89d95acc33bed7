import { describe, expect, test } from "vitest";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";
import { buildRetest } from "../../src/simulate/retest.js";
import type { PlacedFault, VirtualDeskOptions } from "../../src/simulate/types.js";
import { decibel, rms } from "./tone.js";

const dried: PlacedFault = { at: "2/line", fault: "dried-coupling", severity: 0.5 };
const noisy: PlacedFault = { at: "4/mic", fault: "noisy-input-device", severity: 0.5 };
const round: VirtualDeskOptions = {
  seed: 5,
  strips: 6,
  inputs: ["mic", "line"],
  mainsHz: 50,
  faults: [dried, noisy],
};
const before = virtualDesk(round);
const sound = virtualDesk({ ...round, faults: [] });

/** Parts alone: the hand sets its knobs anew on every occasion. */
function partsOf(desk: ReturnType<typeof virtualDesk>, path: string) {
  const { faderDb, gain, ...parts } = desk.paths[path];
  const { legOhm, ...stage } = gain;
  return { ...parts, gain: stage };
}

describe("a re-test", () => {
  const after = virtualDesk(buildRetest(round, { mended: [dried] }));

  test("has a new part, of nominal value, where one was exchanged, and all others as they were", () => {
    const { coupling, ...others } = partsOf(after, "2/line");
    const { coupling: old, ...same } = partsOf(sound, "2/line");
    expect(others).toEqual(same);
    expect(coupling.farad).not.toBe(old.farad);
    // 6.8 µF ± 20 %.
    expect(Math.abs(coupling.farad / 6.8e-6 - 1)).toBeLessThanOrEqual(0.2);
  });

  test("leaves what was not repaired", () => {
    expect(partsOf(after, "4/mic")).toEqual(partsOf(before, "4/mic"));
  });

  test("leaves all other components alone, and sets the knobs again", () => {
    for (const path of ["1/mic", "2/mic", "6/line"]) {
      expect(partsOf(after, path)).toEqual(partsOf(before, path));
      expect(after.paths[path].faderDb).not.toBe(before.paths[path].faderDb);
    }
  });

  test("harms a neighbour where asked", () => {
    const harmed = [{ at: "3/line", fault: "swapped-wiring", severity: 0 }];
    const desk = virtualDesk(buildRetest(round, { mended: [dried, noisy], harmed }));
    expect(desk.paths["3/line"].wiring).toBe("swapped");
    expect(before.paths["3/line"].wiring).toBe("straight");
  });

  test("has the shared change that it is given", () => {
    const shared = [{ fault: "earth-lifted", severity: 1 }];
    const desk = virtualDesk(buildRetest(round, { mended: [dried], shared }));
    expect(desk.sharedParts.earthV).toBe(0.3);
  });

  test("raises the floor of interface and bus by the decibels asked for", () => {
    const raised = virtualDesk(buildRetest(round, { mended: [dried, noisy], floorDb: 40 }));
    const silence = new Float64Array(48_000);
    const floor = rms(simulatePath(raised, 1, "line", silence, 48_000));
    const { summingNoiseV, summingFeedbackOhm, busOhm, outputGain, outputOhm } = raised.master;
    const { inputNoiseV, outputNoiseV } = raised.interface;
    const busV = summingNoiseV * (1 + summingFeedbackOhm / busOhm) * outputGain;
    const load = 10_000 / (10_000 + outputOhm);
    // What the interface plays comes back at the level of its output, a line path having gain 1.
    const densityV = Math.hypot(busV * load, inputNoiseV, outputNoiseV);
    const fullScaleV = Math.SQRT2 * Math.sqrt(0.6) * 10 ** (22 / 20);
    const expected = (densityV * Math.sqrt(24_000)) / fullScaleV;
    expect(Math.abs(decibel(floor / expected))).toBeLessThan(0.2);
    expect(inputNoiseV / before.interface.inputNoiseV).toBeCloseTo(100, 9);
  });

  test("mends nothing that was not there", () => {
    expect(() => buildRetest(round, { mended: [{ ...dried, at: "1/line" }] })).toThrow(/1\/line/);
  });
});
