import { describe, expect, it } from "vitest";
import type { Measurement } from "../../../../src/measure/types.js";
import type { PathToRank } from "../../../../src/rank/family-stats.js";
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
    expect(gains(found)).toStrictEqual(Array.from({ length: count }, (_, k) => wobble(k)));
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

describe("a round worked out by hand", () => {
  const turnsOf = (inputs: readonly { readonly path: string }[]) =>
    new Map(inputs.map(({ path }, k) => [path, k]));
  /** Paths that all have the same but for a step of so much, which the reference path shows. */
  const stepped = (stepDb: number, more: readonly PathToRank[] = []) => {
    const inputs: PathToRank[] = Array.from({ length: count }, (_, k) => {
      const step = k < stepAt ? 0 : stepDb;
      return { path: `${k + 1}/mic`, family: "mic", measurement: of(step, -90 + step) };
    });
    const all = [...inputs, ...more];
    const reference = { into: "bus", first: of(0, -110), last: of(stepDb, -110) } as const;
    return { all, turns: turnsOf(inputs), reference };
  };

  it.each([3, -3])(
    "gives each path its share of %d dB, and says how well it is known",
    (stepDb) => {
      const { all, turns, reference } = stepped(stepDb);
      const { inputs, drift } = subtractDrift(all, { reference, turns });
      const taken = drift?.level?.taken ?? {};
      expect(Object.keys(taken)).toStrictEqual(all.map(({ path }) => path));
      for (const [k, { db, uncertainty, common }] of Object.values(taken).entries()) {
        expect(db).toBeCloseTo(k < stepAt ? 0 : stepDb, 1);
        expect(uncertainty).toBeGreaterThanOrEqual(common);
        expect(uncertainty).toBeLessThan(0.7);
      }
      for (const { measurement } of inputs) {
        expect(measurement?.readings.gain.value).toBeCloseTo(0, 1);
        expect(measurement?.readings.hiss.value).toBeCloseTo(-90, 1);
      }
      expect(drift?.level?.leftDb).toBeLessThan(0.7);
      expect(drift?.level?.uncertaintyDb).toBeGreaterThan(0);
    },
  );

  it("leaves what has no gain, no turn or no measurement out, and as it was", () => {
    const more: readonly PathToRank[] = [
      { path: "17/mic", family: "mic", measurement: { readings: {}, absent: {}, curves: {} } },
      { path: "18/mic", family: "mic", measurement: of(-40, -20) },
      { path: "19/mic", family: "mic" },
    ];
    const { all, turns, reference } = stepped(3, more);
    // One that was recorded, and of which nothing came back.
    const withSilent = new Map([...turns, ["17/mic", 16], ["19/mic", 17]]);
    const found = subtractDrift(all, { reference, turns: withSilent });
    expect(found.inputs.slice(count)).toStrictEqual(more);
    expect(found.drift?.level).toMatchObject({ course: "step", from: "9/mic", noise: "moves" });
    expect(Object.keys(found.drift?.level?.taken ?? {})).toHaveLength(count);
  });

  it("compares paths with themselves in an earlier round, however unlike they are", () => {
    const gainOf = (k: number) => (k * k * 7) % 31;
    const inputs = Array.from({ length: count }, (_, k) => ({
      path: `${k + 1}/mic`,
      family: `${k}`,
      measurement: of(gainOf(k) + (k < stepAt ? 0 : 3), -90),
    }));
    const reference = { into: "bus", first: of(0, -110), last: of(3, -110) } as const;
    const earlierGains = new Map(inputs.map(({ path }, k) => [path, gainOf(k)]));
    const found = subtractDrift(inputs, { reference, turns: turnsOf(inputs), earlierGains });
    expect(found.drift?.level).toMatchObject({ course: "step", from: "9/mic" });
    for (const [k, { measurement }] of found.inputs.entries()) {
      expect(measurement.readings.gain.value).toBeCloseTo(gainOf(k), 1);
    }
  });

  it("is in doubt where the paths do not show when it happened, and takes nothing off", () => {
    // Three paths that differ by tens of decibels: nothing is alike.
    const inputs = [0, 40, -20].map((gain, k) => ({
      path: `${k + 1}/mic`,
      family: `${k}`,
      measurement: of(gain, -90),
    }));
    const reference = { into: "bus", first: of(0, -110), last: of(3, -110) } as const;
    const found = subtractDrift(inputs, { reference, turns: turnsOf(inputs) });
    expect(found.inputs).toStrictEqual(inputs);
    expect(found.drift?.level).toMatchObject({ handled: "doubted", leftDb: 3, changeDb: 3 });
    expect(found.drift?.level).not.toHaveProperty("taken");
    expect(found.drift?.level).not.toHaveProperty("from");
  });

  it("knows nothing of the level where only one turn was measured", () => {
    const { all, turns } = stepped(0);
    const found = subtractDrift(all, { reference: { into: "bus", first: of(0, -110) }, turns });
    expect(found).toStrictEqual({ inputs: all, levelHeld: false });
  });

  it("tells of other readings that drifted where the level did not", () => {
    const { all, turns } = stepped(0);
    const reference = { into: "bus", first: of(0, -110), last: of(0, -90) } as const;
    const found = subtractDrift(all, { reference, turns });
    expect(found).toMatchObject({ inputs: all, levelHeld: true });
    expect(found.drift).not.toHaveProperty("level");
    expect(found.drift?.readings.map(({ reading, change }) => [reading, change])).toStrictEqual([
      ["hiss", 20],
    ]);
  });
});
