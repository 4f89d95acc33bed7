import { describe, expect, it } from "vitest";
import type { Cause } from "../../src/diagnose/types.js";

const script = new URL("../../scripts/prove/circuits.mjs", import.meta.url).href;
const { judgeCircuits, rightForCircuit } = await import(script);

interface Judged {
  readonly named: readonly { readonly hidden: string; readonly causes: readonly Cause[] }[];
  readonly flagged: number;
  readonly healthy: number;
}

// The truth is what was changed in each circuit (fixtures/spice/causes/record.py), worked out by
// ngspice and not by the virtual desk.

describe("strips drawn as circuits", () => {
  const { named, flagged, healthy } = judgeCircuits() as Judged;

  it("are at least twenty with at least eight causes, and no healthy one is flagged", () => {
    expect(named.length + 12).toBeGreaterThanOrEqual(20);
    expect(new Set(named.map(({ hidden }) => hidden)).size).toBeGreaterThanOrEqual(8);
    expect(healthy).toBeGreaterThanOrEqual(12);
    expect(flagged).toBe(0);
  });

  const right: Readonly<Record<string, readonly string[]>> = rightForCircuit;
  // Nothing but distortion tells its shelf from an equaliser's, and these capacitors add none.
  const inDoubt = ["dried-gain-leg-capacitor"];

  it.each(named.filter(({ hidden }) => !inDoubt.includes(hidden)))(
    "have the right cause named first: $hidden",
    ({ hidden, causes }) => {
      expect(right[hidden]).toContain(causes[0]?.cause);
    },
  );

  it.each(named.filter(({ hidden }) => inDoubt.includes(hidden)))(
    "have the right cause among the first three: $hidden",
    ({ hidden, causes }) => {
      const ids = causes.slice(0, 3).map(({ cause }) => cause);
      expect(right[hidden].some((id) => ids.includes(id))).toBe(true);
    },
  );
});

describe("strips of another circuit: a transformer, a discrete stage, a passive bus", () => {
  // A part of what fixtures/spice/topologies/record.py records; the whole is counted by the script.
  const sample = new URL("../../fixtures/spice/topologies/sample.json", import.meta.url);
  const { named, flagged } = judgeCircuits(sample) as Judged;
  const right: Readonly<Record<string, readonly string[]>> = rightForCircuit;

  it("are not flagged where nothing was changed", () => {
    expect(named).toHaveLength(7);
    expect(flagged).toBe(0);
  });

  it.each(named)("have the right cause named first: $hidden", ({ hidden, causes }) => {
    expect(right[hidden.split("/")[0]]).toContain(causes[0]?.cause);
  });
});
