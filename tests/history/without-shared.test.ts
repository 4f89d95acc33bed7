import { expect, test } from "vitest";
import {
  findFaultShares,
  takeOffAllShares,
  takeOffShares,
} from "../../src/history/without-shared.js";
import { reading } from "../helpers/families.js";
import { family, round } from "./rounds-of.js";

// Two families of ten. Strips 1 to 4 have lost 6 dB of gain to a part that they share; by construction
// all gains are 0.1 dB steps about 0 otherwise.

const shared = ["1", "2", "3", "4"];
const own = (k: number) => 0.1 * ((k % 3) - 1);
const lostDb = -6;
const paths = ["mic", "line"].flatMap((input) =>
  family(
    10,
    (k) => ({ readings: { gain: reading(own(k) + (k < shared.length ? lostDb : 0)) } }),
    input,
  ),
);
const fault = {
  paths: paths.filter(({ strip }) => shared.includes(strip)).map(({ path }) => path),
};

test("a share is what the strips with the part have and their siblings without it have not", () => {
  const shares = findFaultShares(fault, paths);
  expect([...shares.keys()]).toEqual(["mic", "line"]);
  const { inside, outside } = shares.get("mic")?.readings.gain ?? {};
  // medians of −0.1, 0, 0.1, −0.1 and of 0, 0.1, −0.1, 0, 0.1, −0.1
  expect(inside).toBeCloseTo(lostDb - 0.05, 9);
  expect(outside).toBeCloseTo(0, 9);
});

test("with it taken off all strips are as though the part were sound, the others as they were", () => {
  const left = takeOffShares(paths, fault, findFaultShares(fault, paths));
  for (const [k, { readings, strip }] of left.entries()) {
    if (!shared.includes(strip)) expect(left[k]).toBe(paths[k]);
    else expect(Math.abs(readings.gain.value - own(k % 10))).toBeLessThan(0.06);
  }
});

test("a round is freed of what strips share with their siblings, not of what it lost since", () => {
  const all = { part: { kind: "ribbon" }, findings: [], aspect: "level", severity: "service" };
  const told = (against: string) =>
    takeOffAllShares(
      round("2030-04-02", paths, { shared: [{ ...all, ...fault, against }] as never }),
    ).paths[0].readings.gain.value;
  expect(Math.abs(told("siblings") - own(0))).toBeLessThan(0.06);
  expect(told("baseline")).toBe(paths[0].readings.gain.value);
  expect(takeOffAllShares(round("2030-04-02", paths)).paths).toEqual(paths);
});

test("paths that were not measured count nowhere, and stay as they are", () => {
  const lost = paths.map((one, k) =>
    k === 0 || k === 9 ? { ...one, status: "missing" as const, readings: {} } : one,
  );
  const shares = findFaultShares(fault, lost);
  // Medians of 0, 0.1 and −0.1, and of 0, 0.1, −0.1, 0, 0.1, as the first and the last are missing.
  const { inside, outside } = shares.get("mic")?.readings.gain ?? {};
  expect(inside).toBeCloseTo(lostDb, 9);
  expect(outside).toBeCloseTo(0, 9);
  expect(takeOffShares(lost, fault, shares)[0]).toBe(lost[0]);
  // A family without any measured path has no share.
  const none = paths.map((one) =>
    one.family === "line" ? { ...one, status: "missing" as const } : one,
  );
  expect([...findFaultShares(fault, none).keys()]).toEqual(["mic"]);
});
