import { describe, expect, it } from "vitest";

const script = (name: string) => new URL(`../../scripts/accuracy/${name}`, import.meta.url).href;
const { runCoverageTask } = await import(script("coverage-task.mjs"));
const { joined } = await import(script("outcomes.mjs"));

interface Row {
  readonly id: string;
  readonly made: number;
  readonly held: number;
  readonly bounds: number;
  readonly boundsHeld: number;
}

describe("the stated uncertainty", () => {
  it("holds the truth of random returns, all readings together, 90 to 99 times in a hundred", () => {
    // Source: the truth put into each return. Some 500 figures, two standard deviations of the
    // share ±2 % (binomial); npm run accuracy counts each reading by itself over 1000 returns.
    const task = (kind: string, count: number) =>
      runCoverageTask({ kind, from: 0, to: count, seed: 77 });
    const rows: Row[] = joined([
      task("harmonics", 30),
      task("unsteady", 20),
      task("stereo", 8),
      task("ordinary", 8),
    ]);
    const readings = rows.filter(({ id }) => !id.endsWith(" curve") && id !== "polarity");
    const made = readings.reduce((sum, row) => sum + row.made, 0);
    const held = readings.reduce((sum, row) => sum + row.held, 0);
    expect(made).toBeGreaterThan(400);
    expect(held / made).toBeGreaterThan(0.9);
    expect(held / made).toBeLessThan(0.99);
    const bounds = rows.reduce((sum, row) => sum + row.bounds, 0);
    const boundsHeld = rows.reduce((sum, row) => sum + row.boundsHeld, 0);
    expect(boundsHeld / bounds).toBeGreaterThan(0.95);
  });
});
