import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { isDeepStrictEqual } from "node:util";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { readFacts } from "../../../src/history/facts/read-facts.js";
import { getIndexFolder, getRoundsFolder } from "../../../src/history/rounds-folder.js";
import { readRound, storeRound } from "../../../src/history/store.js";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { aPath, aRound } from "../a-round.js";

// Expected: what the round's own file says, read by JSON.parse.

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "checked-"));
  // Nothing is kept of a file that was written within the last two seconds.
  vi.useFakeTimers({ toFake: ["Date"], now: Date.now() + 10_000 });
});

afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true, force: true });
});

const id = "2030-01-31-01";
const points = 4000;
const xs = Array.from({ length: points }, (_, k) => 20 + k);

/** A curve that makes its round large. */
const curve = (slope: number) => ({
  x: xs,
  y: xs.map((x) => slope * (x - 20)),
  uncertainty: xs.map(() => 0.01),
  xUnit: "Hz" as const,
  yUnit: "dB",
});

/** With all that has curves: paths, one of them without any, a second side, a reference path. */
function aLargeRound(): Omit<Round, "id"> {
  const base = aRound("2030-01-31");
  const [one, other] = base.paths;
  const bounded = { ...curve(3), floor: xs.map(() => -100), bounds: [0, 3999] };
  const side = { readings: one.readings, absent: {}, curves: { response: curve(4) } };
  const paths: RoundPath[] = [
    { ...one, curves: { response: curve(1), noise: bounded } },
    { ...other, curves: { response: curve(2) }, partner: { side: "right", ...side } },
    { ...aPath("3/mic"), curves: {} },
  ];
  const turn = { turn: "first", status: "measured", take: base.captures[0] } as const;
  const take = { file: "take.wav", channel: 0, startSample: 1, driftPpm: 0 };
  const reference = { name: "bus", into: "bus" as const, turns: [{ ...turn, ...side, take }] };
  return { ...base, desk: { ...base.desk, name: "Böhm’s desk\u{1f39b}" }, reference, paths };
}

const fileOf = () => getRoundsFolder(folder, `${id}.json`);
const keptOf = () => getIndexFolder(folder, `${id}.checked`);
const said = (): Round => JSON.parse(readFileSync(fileOf(), "utf8"));
/** Without the difference, which would be a megabyte. */
const saysTheSame = async () =>
  isDeepStrictEqual(JSON.parse(JSON.stringify(await readRound(folder, "last"))), said());
const change = (from: string, to: string) =>
  writeFileSync(fileOf(), readFileSync(fileOf(), "utf8").replace(from, to));

it("is kept when a round was read, and says all that its file says", async () => {
  storeRound(folder, aLargeRound());
  const first = await readRound(folder, "last");
  expect(existsSync(keptOf())).toBe(true);
  const second = await readRound(folder, "last");
  expect(isDeepStrictEqual(JSON.parse(JSON.stringify(second)), said())).toBe(true);
  // The order of keys counts for what is printed.
  expect(JSON.stringify(second) === JSON.stringify(first)).toBe(true);
});

it("has curves that are worked out when they are looked at, as any other value", async () => {
  storeRound(folder, aLargeRound());
  await readRound(folder, "last");
  const [{ curves }] = (await readRound(folder, "last")).paths;
  const isWorkedOut = (of: object, key: string) =>
    Object.getOwnPropertyDescriptor(of, key)?.get === undefined;
  expect(Object.keys(curves)).toEqual(["response", "noise"]);
  expect("constructor" in curves).toBe(false);
  const { noise } = curves;
  expect([noise.xUnit, noise.yUnit]).toEqual(["Hz", "dB"]);
  expect(isWorkedOut(noise, "floor")).toBe(false);
  expect(noise.bounds).toEqual([0, 3999]);
  expect(isWorkedOut(noise, "bounds")).toBe(true);
  expect(isWorkedOut(curves, "response")).toBe(false);
  expect({ ...curves.response }).toEqual(said().paths[0].curves.response);
  expect(structuredClone(noise)).toEqual(said().paths[0].curves.noise);
});

it("counts no more when the round's file was written again", async () => {
  storeRound(folder, aLargeRound());
  await readRound(folder, "last");
  change('"oddness": 1.235', '"oddness": 7.235');
  expect((await readRound(folder, "last")).paths[0].oddness).toBe(7.235);
  change('"oddness": 7.235', '"oddness": "no"');
  await expect(readRound(folder, "last")).rejects.toThrow(/is damaged: paths.*oddness/);
  change("{", "");
  await expect(readRound(folder, "last")).rejects.toThrow("is damaged: it is not complete JSON.");
});

it("is made again where it is damaged, anywhere", async () => {
  storeRound(folder, aLargeRound());
  await readRound(folder, "last");
  const whole = readFileSync(keptOf());
  const lines = whole.indexOf("\n");
  const points = whole.indexOf("[[[");
  for (const at of [
    points,
    points + 20,
    0,
    lines - 3,
    lines + 1,
    lines + 40,
    whole.length >> 1,
    whole.length - 1,
  ]) {
    const spoilt = Buffer.from(whole);
    spoilt[at] ^= 1;
    writeFileSync(keptOf(), spoilt);
    expect(await saysTheSame()).toBe(true);
  }
  for (const length of [0, 10, lines, lines + 100, whole.length - 1]) {
    writeFileSync(keptOf(), whole.subarray(0, length));
    expect(await saysTheSame()).toBe(true);
  }
});

it("has its curves from the round itself where what was kept is gone meanwhile", async () => {
  storeRound(folder, aLargeRound());
  await readRound(folder, "last");
  const [one, other, bare] = (await readRound(folder, "last")).paths;
  rmSync(keptOf());
  expect(other.partner?.curves.response.y[1]).toBe(4);
  expect(Object.keys(bare.curves)).toEqual([]);
  rmSync(fileOf());
  expect(() => one.curves.noise.y).toThrow("was changed or taken away while it was read.");
});

it("is not made of a file that may be written again within the same moment", async () => {
  vi.setSystemTime(Date.now() - 10_000);
  storeRound(folder, aLargeRound());
  await readRound(folder, "last");
  expect(existsSync(keptOf())).toBe(false);
});

it("is not made of a small round, nor of one with a number that JSON does not write", async () => {
  storeRound(folder, aRound("2029-01-31"));
  await readRound(folder, "last");
  expect(existsSync(getIndexFolder(folder))).toBe(false);
  storeRound(folder, aLargeRound());
  change('"oddness": 1.235', '"oddness": -0');
  expect((await readRound(folder, "last")).paths[0].oddness).toBe(-0);
  expect((await readRound(folder, "last")).paths[0].oddness).toBe(-0);
  expect(existsSync(keptOf())).toBe(false);
});

it("is done without where it cannot be written, and replaces nothing of anybody's", async () => {
  storeRound(folder, aLargeRound());
  writeFileSync(getIndexFolder(folder), "somebody's");
  expect(await saysTheSame()).toBe(true);
  expect(readFileSync(getIndexFolder(folder), "utf8")).toBe("somebody's");
});

it("goes when its round is gone", async () => {
  storeRound(folder, aLargeRound());
  await readRound(folder, "last");
  expect(statSync(keptOf()).size).toBeGreaterThan(100_000);
  rmSync(fileOf());
  const { id: other } = storeRound(folder, aRound("2029-01-31"));
  await readFacts({ folder, ids: [other], pick: (facts) => facts.id });
  expect(readdirSync(getIndexFolder(folder))).toEqual([other]);
});
