import { describe, expect, it } from "vitest";
import type { Measurement } from "../../../../src/measure/types.js";
import { subtractDrift } from "../../../../src/rank/shared/reference/subtract-drift.js";

// A round of sixteen paths whose level steps between the eighth and the ninth, by construction.

const count = 16;
const stepAt = 8;
/** No two alike, a tenth of a decibel at most. */
const wobble = (k: number) => 0.05 * (((k * 7) % 5) - 2);

function of(gain: number, hiss: number): Measurement {
  return {
    readings: {
      gain: { value: gain, unit: "dB", uncertainty: 0.01 },
      hiss: { value: hiss, unit: "dBFS", uncertainty: 0.1 },
    },
    absent: {},
    curves: {},
  };
}

/** @param follows by how much of the step the noise moved with the level */
function round(stepDb: number, follows: number) {
  const inputs = Array.from({ length: count }, (_, k) => {
    const step = k < stepAt ? 0 : stepDb;
    return {
      path: `${k + 1}/mic`,
      family: "mic",
      measurement: of(wobble(k) + step, -90 + wobble(k + 1) + follows * step),
    };
  });
  const turns = new Map(inputs.map(({ path }, k) => [path, k]));
  const reference = { into: "bus", first: of(0, -110), last: of(stepDb, -110) } as const;
  return subtractDrift(inputs, { reference, turns });
}

const gains = ({ inputs }: ReturnType<typeof round>) =>
  inputs.map(({ measurement }) => measurement?.readings.gain.value ?? Number.NaN);

describe("a level that stepped in the midst of a round", () => {
  it("is taken off from the path on that it fell before", () => {
    const found = round(-3, 0);
    expect(found.drift?.level).toMatchObject({
      course: "step",
      from: `${stepAt + 1}/mic`,
      handled: "taken-off",
      changeDb: -3,
    });
    expect(found.levelHeld).toBe(false);
    for (const [k, gain] of gains(found).entries()) {
      expect(Math.abs(gain - wobble(k))).toBeLessThan(0.2);
    }
  });

  it("took the noise along where that is more alike without it, and not where it is less", () => {
    expect(round(-3, 1).drift?.level?.noise).toBe("moves");
    expect(round(3, 1).drift?.level?.noise).toBe("moves");
    expect(round(-3, 0).drift?.level?.noise).toBe("stays");
  });

  it("is too small below a decibel to say what the noise did", () => {
    expect(round(-0.9, 1).drift?.level).toMatchObject({ changeDb: -0.9, noise: "stays" });
    expect(round(-1.1, 1).drift?.level).toMatchObject({ changeDb: -1.1, noise: "moves" });
  });

  it("is absent where both turns agree", () => {
    const found = round(0, 0);
    expect(found).toMatchObject({ levelHeld: true });
    expect(found.drift).toBeUndefined();
    expect(gains(found)).toEqual(Array.from({ length: count }, (_, k) => wobble(k)));
  });

  it.each([
    ["before the first", 2],
    ["after the last", 0],
  ])("names no path where it fell %s", (_, sinceDb) => {
    const inputs = Array.from({ length: count }, (_one, k) => ({
      path: `${k + 1}/mic`,
      family: "mic",
      measurement: of(wobble(k), -90 + wobble(k + 1)),
    }));
    const turns = new Map(inputs.map(({ path }, k) => [path, k]));
    const reference = { into: "bus", first: of(0, -110), last: of(2, -110) } as const;
    // Where each path stood a year ago tells that all of them have the whole change, or none of it.
    const earlierGains = new Map(inputs.map(({ path }, k) => [path, wobble(k) - sinceDb]));
    const { drift } = subtractDrift(inputs, { reference, turns, earlierGains });
    expect(drift?.level).toMatchObject({ course: "step", changeDb: 2 });
    expect(drift?.level?.from).toBeUndefined();
  });
});
