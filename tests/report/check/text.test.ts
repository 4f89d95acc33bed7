import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { renderJson } from "../../../src/report/check/json.js";
import { renderText } from "../../../src/report/check/text.js";
import { wordCheck } from "../../../src/report/check/word-check.js";
import { checkRound } from "../../../src/service/limits/check.js";
import { limit, path, reading, round } from "../../service/limits/rounds.js";
import { hostileRounds, oneOfEach, plain, unprintable } from "./hostile.js";

describe("the text of a check", () => {
  it("begins with the verdict, gives reasons, and ends with counts", async () => {
    expect(renderText(await oneOfEach(), plain)).toBe(`Fail: 2 of 4 strips: 2, 3. Incomplete: 4.
Big desk, round 2031-03-14-01, by 1 limit.

Failing
  2/mic  loud: gain 2.50 ± 0.10 dB, at most 1 dB

Undecided, counted as failing
  3/mic  loud: gain 0.95 ± 0.10 dB, at most 1 dB: too close to decide

Incomplete
  4/mic  missing: no return was assigned to it

Limits not met
  loud: gain <= 1 dB
    agreed

4 strips: 1 pass, 2 fail, 1 incomplete. 4 paths: 1 pass, 1 fail, 1 undecided, 1
incomplete.
`);
  });

  it("is short when all is well", async () => {
    const of = round([path({ path: "1/mic", readings: { gain: reading(0) } })]);
    const check = await checkRound({
      round: of,
      limits: [limit("gain <= 1 dB")],
      undecided: "fail",
    });
    expect(renderText(wordCheck(check), plain)).toBe(
      "Pass: the 1 strip.\nBig desk, round 2031-03-14-01, by 1 limit.\n\n1 strip: 1 pass. 1 path: 1 pass.\n",
    );
  });

  it("says in words what a limit makes of a reading", async () => {
    const text = async (expression: string) => {
      const paths = [0, 0, 0, 9].map((gain, k) =>
        path({ path: `${k}/mic`, readings: { gain: reading(gain), thd: reading(-80) } }),
      );
      const limits = [limit(expression, { name: "x" })];
      return renderText(
        wordCheck(await checkRound({ round: round(paths), limits, undecided: "fail" })),
        plain,
      );
    };
    // The median of four is the mean of two: √(0.1² + (0.1² + 0.1²)/4) = 0.12.
    expect(await text("abs(gain - siblings(gain)) <= 2 dB")).toContain(
      "x: gain against its siblings 9.00 ± 0.12 dB, at most 2 dB\n",
    );
    expect(await text("gain - thd <= 82 dB")).toContain(
      "x: gain - thd 89.00 ± 0.14 dB, at most 82 dB\n",
    );
    expect(await text("gain <= 0.005 dB")).toContain("x: gain 9.00 ± 0.10 dB, at most 0.005 dB\n");
  });

  it("stays within its width and moves no cursor, whatever names desk and strips have", async () => {
    await fc.assert(
      fc.asyncProperty(hostileRounds, async (of) => {
        const text = renderText(await oneOfEach("fail", of), plain);
        expect(text).not.toMatch(unprintable);
        for (const line of text.split("\n")) expect([...line].length).toBeLessThanOrEqual(80);
      }),
      { numRuns: 150 },
    );
  });

  it("parts no figure from its unit or uncertainty, however wide the terminal is", async () => {
    const check = await oneOfEach();
    for (let width = 60; width <= 100; width++) {
      for (const name of ["x", "x".repeat(25), "long ".repeat(9)]) {
        const paths = check.paths.map((one) => ({
          ...one,
          checks: one.checks.map((each) => ({ ...each, limit: name })),
        }));
        const text = renderText({ ...check, paths }, { ...plain, width });
        expect(text).toContain("2.50 ± 0.10 dB,");
        expect(text).toContain("0.95 ± 0.10 dB,");
        expect(text).toMatch(/ 1 dB:/);
      }
    }
  });

  it("as JSON is the check itself", async () => {
    const check = await oneOfEach();
    expect(JSON.parse(renderJson(check, plain))).toEqual(check);
  });
});
