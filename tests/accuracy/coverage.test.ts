import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readingKinds } from "../../src/measure/reading-kinds.js";

const script = (name: string) => new URL(`../../scripts/accuracy/${name}`, import.meta.url).href;
const { runCoverageTask } = await import(script("coverage-task.mjs"));
const { joined } = await import(script("outcomes.mjs"));
const { accuracyText } = await import(script("page.mjs"));

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
  }, 60_000);
});

describe("docs/accuracy.md", () => {
  const page = readFileSync(new URL("../../docs/accuracy.md", import.meta.url), "utf8");

  it("tells for every reading how often its interval holds", () => {
    for (const { id } of readingKinds) expect(page).toContain(`| \`${id}\``);
  });
});

describe("the tables of accuracy", () => {
  const target = { what: "level", target: "0.001 dB", figure: "0.002 dB" };
  const row = { id: "noise", made: 1000, held: 950, bounds: 0, boundsHeld: 0 };

  it("list a target that is missed as missed", () => {
    const { targets } = accuracyText([{ ...target, met: false }], [row]);
    expect(targets).toContain("MISSED");
    expect(accuracyText([{ ...target, met: true }], [row]).targets).not.toContain("MISSED");
  });

  it("say where an interval holds too seldom or too often", () => {
    const words = (held: number) => accuracyText([], [{ ...row, held }]).coverage;
    expect(words(950)).not.toMatch(/missed|too wide/);
    expect(words(900)).toContain("missed");
    expect(words(1000)).toContain("too wide");
  });
});
