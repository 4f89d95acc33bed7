import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { readFacts } from "../../../src/history/facts/read-facts.js";
import type { RoundFacts } from "../../../src/history/facts/types.js";
import { withFactsOfSides } from "../../../src/history/facts/with-facts-of-sides.js";
import { getIndexFolder } from "../../../src/history/rounds-folder.js";
import { groupByStanding } from "../../../src/history/standing.js";
import { listRounds, readRound, storeRound } from "../../../src/history/store.js";
import type { Round } from "../../../src/history/types.js";
import { withSides } from "../../../src/history/with-sides.js";
import { slow } from "../../helpers/slow.js";
import { aPath, aRound } from "../a-round.js";

// Expected: what the rounds themselves say.

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "facts-"));
  // A file that was written within the last two seconds is looked at again in any case.
  vi.useFakeTimers({ toFake: ["Date"], now: Date.now() + 10_000 });
});

afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true, force: true });
});

const roundOf = (day: string): Omit<Round, "id"> => {
  const base = aRound(day);
  const [one, other] = base.paths;
  const limited = { value: -90, unit: "dBFS", uncertainty: 1, limitedBy: "noise" as const };
  return {
    ...base,
    desk: { ...base.desk, name: "Böhm’s desk\u{1f39b}" },
    // What was sound together is not kept.
    sums: [
      { paths: ["1/mic", "2/mic"], reading: "hiss", unit: "dBFS", value: -80, verdict: "too-high" },
      { paths: ["1/mic", "2/mic"], reading: "hum", unit: "dBFS", value: -90, verdict: "sound" },
    ],
    paths: [
      { ...one, readings: { ...one.readings, hiss: limited, constructor: limited } },
      {
        ...other,
        status: "missing" as const,
        readings: { hiss: { ...limited, unit: "dBu", bound: "upper" as const } },
        findings: [],
        causes: [],
      },
      { ...aPath("__proto__/mic"), oddness: 7, causes: [] },
    ],
  };
};

/** What the index keeps of a round, from the round. */
function expected(round: Round, readings: readonly string[]) {
  return {
    id: round.id,
    date: round.date,
    desk: round.desk,
    signal: round.signal,
    captures: round.captures.map(({ sha256 }) => ({ sha256 })),
    tooHigh: [{ reading: "hiss", paths: ["1/mic", "2/mic"] }],
    paths: round.paths.map((path) => ({
      path: path.path,
      strip: path.strip,
      input: path.input,
      family: path.family,
      status: path.status,
      oddness: path.oddness,
      findings: path.findings.map(({ severity, words = "" }) => ({ severity, words })),
      causes: path.causes.map(({ kind, name }) => ({ kind, name })),
      readings: Object.fromEntries(
        readings.map((id) => {
          if (!Object.hasOwn(path.readings, id)) return [id, undefined];
          const { uncertainty: _, ...rest } = path.readings[id];
          return [id, rest];
        }),
      ),
    })),
  };
}

const withoutWords = ({
  findings,
  causes,
}: Pick<RoundFacts["paths"][number], "findings" | "causes">) => ({
  findings: findings.map(({ severity }) => ({ severity })),
  causes: causes.map(({ kind }) => ({ kind })),
});

const keep = (facts: RoundFacts) => facts;

/** Reads all facts; how many rounds had to be read for it. */
async function read(readings: readonly string[] = []) {
  let whole = 0;
  const onRead = (_: number, total: number) => {
    whole = total;
  };
  const ids = listRounds(folder);
  return { ...(await readFacts({ folder, ids, readings, onRead, pick: keep })), whole };
}

async function assertTrue(found: Awaited<ReturnType<typeof read>>, readings: readonly string[]) {
  for (const one of found.rounds) {
    const round = await readRound(folder, one.id);
    if (!("facts" in one)) throw new Error(one.damaged);
    const paths = one.facts.paths.map((path) => ({
      ...path,
      readings: Object.fromEntries(readings.map((id) => [id, path.readings[id]])),
      // Words come with readings.
      ...(readings.length > 0 ? {} : withoutWords(path)),
    }));
    const { paths: known, ...rest } = expected(round, readings);
    expect({ ...one.facts, paths }).toMatchObject({
      ...rest,
      paths: known.map((path) => (readings.length > 0 ? path : { ...path, ...withoutWords(path) })),
    });
    expect("facts" in one && groupByStanding(one.facts).service.map(({ path }) => path)).toEqual(
      groupByStanding(round).service.map(({ path }) => path),
    );
  }
}

test("facts of a stereo bus are those of each side, also where one was measured second", async () => {
  const dbfs = (value: number) => ({ value, unit: "dBFS", uncertainty: 1 });
  const side = (which: "left" | "right", hiss: number) => ({
    partner: { side: which, readings: { hiss: dbfs(hiss) }, absent: {}, curves: {} },
  });
  const one = (name: string, hiss: number, other: object) => ({
    ...aPath(name),
    readings: { hiss: dbfs(hiss) },
    ...other,
  });
  const paths = [
    one("1/mic", -90, side("right", -80)),
    one("2/mic", -91, side("right", -81)),
    one("3/mic", -82, side("left", -92)),
    one("4/mic", -93, {}),
  ];
  storeRound(folder, { ...aRound("2030-01-31"), paths });
  const hissOf = (all: RoundFacts["paths"]) =>
    Object.fromEntries(all.map(({ path, readings }) => [path, readings.hiss.value]));
  const expectedHiss = {
    "1/mic": -90,
    "1/mic, right side": -80,
    "2/mic": -91,
    "2/mic, right side": -81,
    "3/mic": -92,
    "3/mic, right side": -82,
    "4/mic": -93,
  };
  expect(hissOf(withSides(await readRound(folder, "last")).paths)).toEqual(expectedHiss);
  for (const whole of [1, 0]) {
    const found = await read(["hiss"]);
    expect(found.whole).toBe(whole);
    const [first] = found.rounds;
    if (!("facts" in first)) throw new Error(first.damaged);
    expect(first.facts.paths.map(({ path }) => path)).toEqual(paths.map(({ path }) => path));
    expect(hissOf(withFactsOfSides(first.facts).paths)).toEqual(expectedHiss);
  }
});

test("facts are those of the rounds, when the index is made and when it is read", async () => {
  for (const day of ["2030-01-31", "2031-01-31"]) storeRound(folder, roundOf(day));
  const wanted = ["hiss", "noise", "constructor", "toString"];
  const first = await read(wanted);
  expect([first.rounds.length, first.whole]).toEqual([2, 2]);
  await assertTrue(first, wanted);
  const again = await read(wanted);
  expect(again.whole).toBe(0);
  await assertTrue(again, wanted);
  const bare = await read();
  expect(bare.whole).toBe(0);
  await assertTrue(bare, []);
});

test("a round that was added, changed or taken away is noticed", async () => {
  storeRound(folder, roundOf("2030-01-31"));
  await read();
  storeRound(folder, roundOf("2031-01-31"));
  const file = join(folder, "rounds", "2030-01-31-01.json");
  const other = readFileSync(file, "utf8").replace("-86.12346", "-76.12346");
  const { length } = readFileSync(file);
  writeFileSync(file, other);
  expect(readFileSync(file)).toHaveLength(length);
  const found = await read(["noise"]);
  expect(found.whole).toBe(2);
  await assertTrue(found, ["noise"]);
  rmSync(file);
  const { rounds } = await read();
  expect(rounds.map(({ id }) => id)).toEqual(["2031-01-31-01"]);
  writeFileSync(join(folder, "rounds", "2031-01-31-01.json"), "{}");
  expect((await read()).rounds).toMatchObject([{ damaged: expect.stringContaining("is damaged") }]);
  expect(readdirSync(getIndexFolder(folder))).toEqual(["2031-01-31-01"]);
});

test("a change within one tick of a coarse clock is noticed, by the checksum", async () => {
  vi.setSystemTime(Date.now() - 10_000);
  storeRound(folder, roundOf("2030-01-31"));
  await read();
  expect((await read()).whole).toBe(1);
  vi.setSystemTime(Date.now() + 10_000);
  expect((await read()).whole).toBe(1);
  expect((await read()).whole).toBe(0);
});

test("a copied desk keeps its index once its checksums are seen to be the same", async () => {
  storeRound(folder, roundOf("2030-01-31"));
  await read();
  const file = join(folder, "rounds", "2030-01-31-01.json");
  utimesSync(file, new Date(), new Date());
  const found = await read();
  expect(found.whole).toBe(1);
  await assertTrue(found, []);
  vi.setSystemTime(Date.now() + 60_000);
  await read();
  expect((await read()).whole).toBe(0);
});

test("an index is missing and not damaged before it was made, and damaged where its head is", async () => {
  storeRound(folder, roundOf("2030-01-31"));
  expect((await read(["noise"])).remade).toBe(0);
  const file = join(getIndexFolder(folder), "2030-01-31-01");
  const good = readFileSync(file);
  // The same length, and JSON still: only its checksum tells.
  writeFileSync(file, good.toString("latin1").replace('"1/mic"', '"9/mic"'), "latin1");
  const found = await read(["noise"]);
  expect(found.remade).toBe(1);
  await assertTrue(found, ["noise"]);
});

test("an index that is damaged in any byte is noticed, told and made again", slow, async () => {
  storeRound(folder, roundOf("2030-01-31"));
  await read();
  const file = join(getIndexFolder(folder), "2030-01-31-01");
  const good = readFileSync(file);
  for (let k = 0; k < good.length; k += 7) {
    const bad = Buffer.from(good);
    bad[k] ^= 1 + (k % 250);
    writeFileSync(file, bad);
    const found = await read(["noise", "hiss"]);
    await assertTrue(found, ["noise", "hiss"]);
    expect(readFileSync(file)).toHaveLength(good.length);
  }
  for (const bad of ["", "{}", good.subarray(0, good.length >> 1), Buffer.concat([good, good])]) {
    writeFileSync(file, bad);
    await assertTrue(await read(["noise"]), ["noise"]);
  }
  writeFileSync(file, good.subarray(0, good.length - 9));
  expect((await read(["noise"])).remade).toBe(1);
  expect((await read(["noise"])).remade).toBe(0);
});

test("a round that is gone from under its index is told as one that cannot be read", async () => {
  storeRound(folder, roundOf("2030-01-31"));
  const ids = listRounds(folder);
  await read();
  rmSync(join(folder, "rounds", "2030-01-31-01.json"));
  const { rounds } = await readFacts({ folder, ids, pick: keep });
  expect(rounds).toMatchObject([{ id: ids[0], damaged: expect.any(String) }]);
});

test("where no index can be stored, the facts are read all the same", async () => {
  storeRound(folder, roundOf("2030-01-31"));
  writeFileSync(getIndexFolder(folder), "somebody's");
  await assertTrue(await read(["noise"]), ["noise"]);
  expect(readFileSync(getIndexFolder(folder), "utf8")).toBe("somebody's");
  rmSync(getIndexFolder(folder));
  mkdirSync(getIndexFolder(folder));
  const own = join(getIndexFolder(folder), "2030-01-31-01");
  writeFileSync(own, "somebody's");
  await assertTrue(await read(["noise"]), ["noise"]);
  expect(readFileSync(own, "utf8")).toBe("somebody's");
});

test("a folder that is gone is not made again", async () => {
  storeRound(folder, roundOf("2030-01-31"));
  const ids = listRounds(folder);
  renameSync(folder, `${folder}-elsewhere`);
  const { rounds } = await readFacts({ folder, ids, pick: keep });
  expect(rounds).toMatchObject([{ damaged: expect.stringContaining("Cannot read") }]);
  expect(existsSync(folder)).toBe(false);
  rmSync(`${folder}-elsewhere`, { recursive: true });
});
