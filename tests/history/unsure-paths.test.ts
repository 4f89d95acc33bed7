import { expect, test } from "vitest";
import type { RoundPath } from "../../src/history/types.js";
import { listUnsurePaths } from "../../src/history/unsure-paths.js";
import { type Given, path, round } from "./rounds-of.js";

// Expected: what each of these paths leaves open, as its own case says.

const finding = (severity: "watch" | "service"): RoundPath["findings"][number] => ({
  reading: "noise",
  against: "siblings",
  value: -80,
  expected: -90,
  deviation: 10,
  unit: "dB",
  score: 9,
  severity,
  words: "noise 10 dB above its siblings",
});
const stands = (severity: "watch" | "service", cause?: Partial<RoundPath["causes"][number]>) => ({
  findings: [finding(severity)],
  causes: cause === undefined ? [] : [{ kind: "fault", ...cause } as RoundPath["causes"][number]],
});
/** Enough siblings for a verdict. */
const crowd = ["7/mic", "8/mic", "9/mic"].map((name) => path(name));
const of = (given: Readonly<Record<string, Given>>) => [
  ...Object.entries(given).map(([name, own]) => path(name, own)),
  ...crowd,
];

test("names what the last whole round left open, and nothing else", () => {
  const last = round(
    "2031-03-14",
    of({
      "1/mic": {},
      "2/mic": { status: "missing" },
      "3/mic": stands("service", { kind: "setting", probability: 0.99 }),
      "4/mic": stands("watch", { probability: 0.99 }),
      "5/mic": stands("service", { probability: 0.6 }),
      "6/mic": stands("service", { probability: 0.9 }),
    }),
  );
  expect(listUnsurePaths([last])).toEqual([
    { path: "2/mic", because: "not-measured" },
    { path: "3/mic", because: "setting" },
    { path: "4/mic", because: "watch" },
    { path: "5/mic", because: "several-causes" },
  ]);
});

test("names a path that stands out in one of two rounds only, though nothing moved", () => {
  const before = round("2031-03-07", of({ "1/mic": {} }));
  const last = round("2031-03-14", of({ "1/mic": stands("service", { probability: 0.99 }) }));
  expect(listUnsurePaths([last, before])).toEqual([{ path: "1/mic", because: "one-round-only" }]);
});

test("lets a later round of some paths decide for those that it measured", () => {
  const noise = (value: number) => ({
    readings: { noise: { value, unit: "dB", uncertainty: 0.1 } },
  });
  const noisy = { ...stands("watch"), ...noise(-80) };
  const whole = round("2031-03-14", of({ "1/mic": noisy, "2/mic": noisy }));
  const later = round("2031-03-15", of({ "1/mic": noise(-90) }), {
    partial: { wanted: ["1/mic"] },
  });
  expect(listUnsurePaths([later, whole])).toEqual([{ path: "2/mic", because: "watch" }]);
});

test("gives the newest of several later rounds the last word, of paths that it measured", () => {
  const noise = (value: number): Given => ({
    readings: { noise: { value, unit: "dB", uncertainty: 0.1 } },
  });
  const noisy = { ...stands("watch"), ...noise(-80) };
  const whole = round("2031-03-14", of({ "1/mic": noisy, "2/mic": {}, "3/mic": noisy }));
  const some = (day: string, given: Readonly<Record<string, Given>>) =>
    round(day, of(given), { partial: { wanted: Object.keys(given) } });
  // Found with a wrong setting first, then put right.
  const wrong = stands("service", { kind: "setting", probability: 0.99 });
  const first = some("2031-03-15", { "1/mic": { ...wrong, ...noise(-80) } });
  const second = some("2031-03-16", { "1/mic": noise(-90) });
  expect(listUnsurePaths([second, first, whole])).toEqual([{ path: "3/mic", because: "watch" }]);
  expect(listUnsurePaths([first, second, whole])).toEqual([
    { path: "1/mic", because: "setting" },
    { path: "3/mic", because: "watch" },
  ]);
  // A path that was not played again stays as it was, and one that could not be used is not measured.
  const lost = some("2031-03-15", {
    "2/mic": { status: "unusable" },
    "3/mic": { status: "missing" },
  });
  expect(listUnsurePaths([lost, whole])).toEqual([
    { path: "1/mic", because: "watch" },
    { path: "2/mic", because: "not-measured" },
    { path: "3/mic", because: "watch" },
  ]);
});

test("takes a cause from three quarters on for likely enough", () => {
  const becauseOf = (probability: number) =>
    listUnsurePaths([round("2031-03-14", of({ "1/mic": stands("service", { probability }) }))]).map(
      ({ because }) => because,
    );
  expect(becauseOf(0.74)).toEqual(["several-causes"]);
  expect(becauseOf(0.75)).toEqual([]);
});

test("is unsure of nothing where there is no whole round", () => {
  const later = round("2031-03-15", of({ "1/mic": {} }), { partial: { wanted: ["1/mic"] } });
  expect(listUnsurePaths([later])).toEqual([]);
});
