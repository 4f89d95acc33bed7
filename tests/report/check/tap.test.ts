import fc from "fast-check";
import { type FinalResults, Parser } from "tap-parser";
import { describe, expect, it } from "vitest";
import { renderTap } from "../../../src/report/check/tap.js";
import { hostileRounds, oneOfEach, plain, unprintable } from "./hostile.js";

interface Point {
  readonly ok: boolean;
  readonly id: number;
  readonly name: string;
  readonly skip?: unknown;
  readonly todo?: unknown;
  readonly diag?: Record<string, unknown>;
}

/** What a TAP parser makes of a text; strict: anything that is no TAP is a failure. */
function parse(text: string) {
  const points: Point[] = [];
  const extra: string[] = [];
  let results: FinalResults | undefined;
  const parser = new Parser({ strict: true }, (end) => {
    results = end;
  });
  parser.on("assert", (point) => points.push(point as unknown as Point));
  parser.on("extra", (line) => extra.push(line));
  parser.end(text);
  return { points, extra, results };
}

describe("TAP", () => {
  it("is of version 14, with a plan and a test point for each path", async () => {
    const text = renderTap(await oneOfEach(), plain);
    expect(text).toMatch(/^TAP version 14\n1\.\.4\n/);
    const { points, extra, results } = parse(text);
    expect(extra).toEqual([]);
    expect(points.map(({ ok, name }) => `${ok} ${name}`)).toEqual([
      "true 1/mic",
      "false 2/mic",
      "false 3/mic",
      "false 4/mic",
    ]);
    expect(results).toMatchObject({ count: 4, pass: 1, fail: 3, skip: 0, todo: 0, bailout: false });
    expect(points[1]?.diag).toMatchObject({
      verdict: "fail",
      limits: [{ limit: "loud", found: 2.5, wanted: "at most 1", unit: "dB", uncertainty: 0.1 }],
    });
    expect(points[3]?.diag).toMatchObject({ verdict: "incomplete", status: "missing" });
  });

  it("is ok, with its reasons, for what is undecided and counts as passing", async () => {
    const { points } = parse(renderTap(await oneOfEach("pass"), plain));
    expect(points[2]).toMatchObject({ ok: true, diag: { verdict: "undecided" } });
  });

  it("keeps its points, whatever names desk and strips have", async () => {
    await fc.assert(
      fc.asyncProperty(hostileRounds, async (of) => {
        const text = renderTap(await oneOfEach("fail", of), plain);
        expect(text).not.toMatch(unprintable);
        const { points, extra, results } = parse(text);
        expect(extra).toEqual([]);
        expect(points.map(({ ok }) => ok)).toEqual([false, true, false, false]);
        expect(points.every(({ skip, todo }) => !skip && !todo)).toBe(true);
        expect(results).toMatchObject({ bailout: false, count: 4, fail: 3 });
        expect(points[0]?.diag).toMatchObject({ verdict: "fail" });
      }),
      { numRuns: 150 },
    );
  });
});
