import { expect, test } from "vitest";
import { getCurveId, groupByStanding, listSmallFamilies } from "../../src/history/standing.js";
import type { RoundPath } from "../../src/history/types.js";
import { path, round } from "./rounds-of.js";

// Expected: docs/a-round.md, what is to be thought of a path.

type Severity = RoundPath["findings"][number]["severity"];

const finding = (severity: Severity): RoundPath["findings"][number] => ({
  reading: "gain",
  against: "siblings",
  value: 1,
  expected: 0,
  deviation: 1,
  unit: "dB",
  score: 9,
  severity,
  words: "",
});
const cause = (kind: string) => [{ kind } as unknown as RoundPath["causes"][number]];

const paths = [
  path("1/mic", { findings: [finding("remark")], oddness: 1 }),
  path("2/mic", { findings: [finding("watch"), finding("remark")], oddness: 3 }),
  path("3/mic", { findings: [finding("watch"), finding("service")], oddness: 5 }),
  path("4/mic", { findings: [finding("service")], causes: cause("setting"), oddness: 4 }),
  path("5/mic", { findings: [finding("service")], causes: cause("fault"), oddness: 9 }),
  path("6/mic", { status: "missing" }),
  path("7/mic", { status: "unusable", findings: [finding("service")], oddness: 1000 }),
  path("1/line"),
  path("2/line"),
  path("3/line", { status: "missing" }),
  path("4/mic2", { oddness: 2 }),
];

test("paths are put together by what is to be thought of them, the oddest first", () => {
  const by = groupByStanding(round("2031-03-14", paths));
  const names = Object.fromEntries(
    Object.entries(by).map(([standing, own]) => [standing, own.map((one) => one.path)]),
  );
  expect(names).toEqual({
    service: ["7/mic", "5/mic", "3/mic"],
    watch: ["2/mic"],
    setting: ["4/mic"],
    alike: ["1/mic"],
    unjudged: ["4/mic2", "1/line", "2/line"],
    unmeasured: ["6/mic", "3/line"],
  });
});

test("a family with fewer than three measured paths is too small to be judged", () => {
  expect(listSmallFamilies(round("2031-03-14", paths))).toEqual(["line", "mic2"]);
});

test("a finding names the curve that it is about", () => {
  expect(["response", "distortionCurve", "noiseCurve"].map(getCurveId)).toEqual([
    "response",
    "distortion",
    "noise",
  ]);
});
