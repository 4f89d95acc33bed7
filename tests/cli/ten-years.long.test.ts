import { beforeAll, describe, expect, it } from "vitest";
// @ts-expect-error a script without types
import { makeTenYears } from "../../scripts/ten-years.mjs";
import { newFolder, run } from "./run.js";

/**
 * What was done to the virtual desk stands in scripts/ten-years.mjs: electrolytics age everywhere,
 * on strips 5 to 8 five and a half times as fast; 2/line is repaired before 2033, strip 6 gets new capacitors
 * before 2037; the interface is exchanged for one 3 dB lower before 2035; 4/line loses a rail before
 * 2039. Six of the eleven springs tell it all.
 */
const springs = [2030, 2033, 2035, 2037, 2039, 2040];

interface Trend {
  readonly path: string;
  readonly reading: string;
  readonly value: number;
  readonly perYear: number;
  readonly uncertainty: number;
}

describe("ten years of a desk", () => {
  const desk = newFolder();
  beforeAll(() => makeTenYears(desk, springs));

  /** The summary: what stands above the table. */
  function story(...args: readonly string[]): string {
    const { code, out, err } = run("compare", ...args, "--desk", desk);
    expect([code, err]).toEqual([0, ""]);
    const [summary] = out.split("\n\n");
    expect(summary.split("\n").length).toBeLessThanOrEqual(10);
    return summary.replace(/\s+/g, " ");
  }

  it("report the first repair", () => {
    const text = story("2033");
    expect(text).toContain("1 fault gone: 2/line (one leg of the balanced input open).");
    expect(text).not.toContain("new fault");
  });

  it("report another interface once, and not as a change of any path's level", () => {
    const text = story("2035");
    expect(text).toMatch(/Common to all line paths: level −[23]\.\d+ dB, noise −[23]\.\d+ dB/);
    expect(text).not.toMatch(/fault|better|setting/);
    const { out } = run("compare", "2035", "--desk", desk, "--json");
    for (const path of JSON.parse(out).paths) {
      for (const { reading, real } of path.readings) {
        if (/^(level|gain|noise)/.test(reading))
          expect([path.path, reading, real]).toEqual([path.path, reading, false]);
      }
    }
  });

  it("report the second repair, on a strip that was not out of line yet", () => {
    const text = story("2037");
    expect(text).toContain("1 path better: 6/line.");
    expect(text).not.toContain("fault");
  });

  it("report the new fault, and of nothing else that is new", () => {
    expect(story("2039")).toMatch(/^.*1 new fault: 4\/line \(early or one-sided clipping/);
    expect(story("2040")).toContain("1 fault as before: 4/line");
  });

  it("tell all of it from the first to the last", () => {
    const text = story("--with", "oldest");
    expect(text).toContain("1 new fault: 4/line");
    expect(text).toContain("1 fault gone: 2/line");
    expect(text).toContain("none of them out of line: 5/line, 7/line, 8/line.");
  });

  it("show which strips will want capacitors, and when", () => {
    const { out } = run("compare", "--trend", "--desk", desk);
    const text = out.replace(/\s+/g, " ");
    expect(text).toContain("Strips 5, 7, 8 may need capacitors in about");
    expect(text).toMatch(
      /Before round 2035-04-02-01 the level of all paths changed by −[23]\.\d dB/,
    );
    expect(text).toMatch(/6\/line before 2037-04-02 \(lower corner −/);
    const { paths } = JSON.parse(run("compare", "--trend", "--json", "--desk", desk).out);
    // Capacitances of the virtual desk shrink by 3 % a year of wear: a corner grows by as much, by
    // 2.2 years of wear a year on the warm strips and by 0.4 on the others.
    const held = paths.flatMap(({ path, reading, value, perYear, uncertainty }: Trend) => {
      if (reading !== "cornerLow") return [];
      const wear = Number(path.split("/")[0]) >= 5 ? 2.2 : 0.4;
      const off = Math.abs(perYear / value - 0.03 * wear);
      // The output stage's own capacitor does not age with the strips: a tenth is its share.
      return [off < uncertainty / value + 0.1 * 0.03 * wear];
    });
    // Of eight intervals of 95 % one may miss: two or more do in 6 of 100 sets (binomial).
    expect(held).toHaveLength(8);
    expect(held.filter((one: boolean) => !one).length).toBeLessThanOrEqual(1);
  });

  it.each([
    ["2030", [], 1, "Fail: 1 of 8 strips: 2."],
    ["2033", ["--with", "oldest"], 0, "Pass: all 8 strips."],
    ["2037", ["--with", "last"], 0, "Pass: all 8 strips."],
    ["2039", ["--with", "2033"], 1, "Fail: 1 of 8 strips: 4."],
  ] as const)("are checked in %s %j with the exit code %d", (spring, more, code, verdict) => {
    const checked = run("check", spring, ...more, "--desk", desk);
    expect(checked.code).toBe(code);
    expect(checked.out.split("\n")[0]).toBe(verdict);
  });
});
