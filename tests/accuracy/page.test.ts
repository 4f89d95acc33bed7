import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readingKinds } from "../../src/measure/reading-kinds.js";

const script = (name: string) => new URL(`../../scripts/accuracy/${name}`, import.meta.url).href;
const { accuracyText, listOutside } = await import(script("page.mjs"));

describe("docs/accuracy.md", () => {
  const page = readFileSync(new URL("../../docs/accuracy.md", import.meta.url), "utf8");

  it("tells for every reading how often its interval holds", () => {
    for (const { id } of readingKinds) expect(page).toContain(`| \`${id}\``);
  });
});

describe("the tables of accuracy", () => {
  const target = { what: "level", target: "0.001 dB", figure: "0.002 dB" };
  // of 24 steps an octave the step of 0.125 dB
  const row = {
    id: "noise",
    made: 1000,
    held: 950,
    bounds: 0,
    boundsHeld: 0,
    widths: { "-72": 1000 },
  };

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

  it("name the rows outside of what is asked, few returns aside", () => {
    const list = (held: number, made = 1000) => listOutside([{ ...row, held, made }]);
    expect(list(985)).toBe("");
    expect(list(930)).toBe("");
    expect(list(986)).toBe("Held in more than 98.5 %: `noise`.");
    expect(list(929)).toBe("Held in less than 93 %: `noise`.");
    expect(list(40, 40)).toBe("");
    expect(listOutside([{ ...row, bounds: 100, boundsHeld: 94 }])).toContain("`noise`");
  });

  it("say how wide the intervals are against what healthy siblings scatter by", () => {
    const text = (widths: Record<string, number>) =>
      accuracyText([], [{ ...row, widths }]).coverage.split("\n")[2];
    // the floor of noise is 2 dB: 0.125 dB are 6 % of it, 1.41 dB 71 %
    expect(text({ "-72": 1000 })).toMatch(/\| 6 +\|/);
    expect(text({ "-72": 400, "12": 600 })).toMatch(/\| 71 +\| wide/);
    expect(text({ "-72": 600, "12": 400 })).not.toContain("wide");
  });
});
