import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readingKinds } from "../../src/measure/reading-kinds.js";

const script = (name: string) => new URL(`../../scripts/accuracy/${name}`, import.meta.url).href;
const { accuracyText } = await import(script("page.mjs"));

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
