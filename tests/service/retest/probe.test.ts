import { expect, it } from "vitest";
import { responseLeastDb } from "../../../src/rank/responses.js";
import { getProbeThreshold } from "../../../src/service/retest/probe.js";
import { pairPaths } from "../../../src/service/retest/rank-among-base.js";
import { path, round } from "../limits/rounds.js";

it("a difference at a point of a curve is of concern from the curve's floor on", () => {
  expect(getProbeThreshold({ reading: "response", atHz: 1000 }, 0)).toBe(responseLeastDb);
  expect(getProbeThreshold({ reading: "a-curve-of-tomorrow", atHz: 1000 }, 0)).toBe(0);
});

it("pairs paths that both rounds have measured, and no other", () => {
  const earlier = round([
    path({ path: "1/mic" }),
    path({ path: "2/mic", status: "silent" as never }),
  ]);
  const later = round([path({ path: "1/mic" }), path({ path: "2/mic" }), path({ path: "3/mic" })]);
  expect(pairPaths({ earlier, later }, []).all.map(({ now }) => now.path)).toEqual(["1/mic"]);
});
