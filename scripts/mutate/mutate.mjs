/**
 * Draws changes of one operator or condition at random and counts how many the tests notice.
 *
 *     npm run mutate -- [count] [seed]                 100 changes, seed 1, in all rooms below
 *     npm run mutate -- [count] [seed] --in dsp,rank   in these rooms, or files
 *     npm run mutate -- --again                        those that nothing noticed last time
 *
 *     npm run mutate -- --again --slow                 … by those too that take seconds
 *     npm run mutate -- --further                      … by those of all rooms that import the file
 *     npm run mutate -- 400 7 --only rank,history      of 400 drawn in all rooms those in these
 *     npm run mutate -- 999 --in src/rank/sums.ts --by tests/rank/sums.test.ts
 *                                                      by these tests alone, which is quick
 *
 * With --only what other rooms gave of the same draw is kept, so that a long run can be made room
 * by room; with --again what was caught before counts on. A run that is ended keeps what it tried,
 * and --again goes on with the rest.
 *
 * Each change is tried by the tests of its own room that reach it, those of its examples too, up to
 * the first that fails; with --further what these missed is tried by the quick tests of all rooms that
 * import the file, those of the built program aside. What was found is printed and kept in
 * coverage/mutate.json. Left out of the share are changes that do not compile, and those that alter
 * nothing anybody could see: equivalent.mjs lists them, with the reason.
 */
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { Stryker } from "@stryker-mutator/core";
import { findUncompiled } from "./check-types.mjs";
import { drawSome, isSameMutant, leftOut, listMutants } from "./draw-mutants.mjs";
import { drawnFile, tried } from "./drawn-checker.mjs";
import { findEquivalent } from "./equivalent.mjs";
import { describeMissed, describeShares } from "./results.mjs";
import { allRooms, commentedSources, testedFiles, testedRooms, withSlow } from "./tested-rooms.mjs";

const rooms = ["dsp", "measure", "rank", "diagnose", "history", "service"];
const root = fileURLToPath(new URL("../..", import.meta.url));
process.chdir(root);
process.env[commentedSources] = root;
const kept = "coverage/mutate.json";

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    in: { type: "string" },
    again: { type: "boolean" },
    by: { type: "string" },
    further: { type: "boolean" },
    only: { type: "string" },
    slow: { type: "boolean" },
  },
});
const [count = 100, seed = 1] = positionals.map(Number);
if (![count, seed].every((n) => Number.isInteger(n) && n >= 0)) {
  process.stderr.write(
    "usage: npm run mutate -- [count] [seed] [--in rooms] [--by tests] | --again | --further\n",
  );
  process.exit(2);
}
if (values.by !== undefined) process.env[testedFiles] = values.by;
const tryRooms = values.only?.split(",") ?? rooms;
const isOf = (room, { file }) => file.startsWith(`src/${room}/`);
const isTried = (one) => tryRooms.some((room) => isOf(room, one));
const last = existsSync(kept) ? JSON.parse(readFileSync(kept, "utf8")) : undefined;
const isAgain = values.again || values.further;
/** What each change that is tried again was in the last run. */
const earlier = new Map();
const drawn = isAgain ? await listAgain() : await draw();
let results = isAgain ? listKnown() : values.only === undefined ? [] : listOthers();
const uncompiled = isAgain ? new Set() : findUncompiled(drawn.filter(isTried));
const head = isAgain ? { count: last.count, seed: last.seed } : { count, seed };
mkdirSync("coverage", { recursive: true });
for (const room of values.further ? [allRooms] : rooms.filter((one) => tryRooms.includes(one))) {
  const own = drawn.filter((one) => isTried(one) && (room === allRooms || isOf(room, one)));
  if (own.length === 0) continue;
  const known = results;
  const before = known.filter((one) => !own.some((mutant) => earlier.get(mutant) === one));
  const keep = (found) => {
    // What is not tried yet keeps what it had, should the run be ended.
    const now = found.map((one, i) =>
      one.status === "NotTried" ? (earlier.get(own[i]) ?? one) : one,
    );
    results = [...before, ...now];
    writeFileSync(kept, `${JSON.stringify({ ...head, results }, null, 1)}\n`);
  };
  const found = await tryMutants(own, room, keep);
  keep(found);
  process.stdout.write(describeMissed(found));
}
process.stdout.write(describeShares(results));

async function draw() {
  const places = values.in?.split(",") ?? rooms;
  const all = await listMutants(places.flatMap((place) => listFiles(place)));
  const some = drawSome(all, count, seed);
  process.stdout.write(`${all.length} possible changes, ${some.length} drawn with seed ${seed}\n`);
  return some;
}

/** What rooms that are not tried now gave when the same changes were drawn. */
function listOthers() {
  if (last?.count !== count || last.seed !== seed) return [];
  return last.results.filter((one) => !isTried(one));
}

/** The results of the last run, without changes that were missed of lines that are gone by now. */
function listKnown() {
  const left = last.results.filter(
    (one) => !isMissed(one) || !isTried(one) || [...earlier.values()].includes(one),
  );
  const gone = last.results.length - left.length;
  if (gone > 0) process.stdout.write(`${gone} missed of lines that are gone, left out\n`);
  return left;
}

/** Whether two are the same change of the same line, wherever that stands by now. */
function isSameChange(a, b) {
  return ["file", "text", "kind", "original", "replacement"].every((key) => a[key] === b[key]);
}

function isMissed({ status }) {
  return ["Survived", "NoCoverage", "NotTried", "Slow"].includes(status);
}

/** The survivors of the last run, wherever their lines stand by now. */
async function listAgain() {
  if (last === undefined) throw new Error(`${kept} is not there: run without --again first`);
  const missed = last.results.filter((one) => isMissed(one) && isTried(one));
  const all = new Set(await listMutants([...new Set(missed.map(({ file }) => file))]));
  // A line may stand in a file more than once: where nothing has moved its place tells which it is.
  for (const isSame of [isSameMutant, isSameChange]) {
    for (const old of missed.filter((one) => ![...earlier.values()].includes(one))) {
      const mutant = [...all].find((one) => isSame(old, one));
      if (mutant === undefined) continue;
      all.delete(mutant);
      earlier.set(mutant, old);
    }
  }
  return [...earlier.keys()];
}

function listFiles(place) {
  const at = existsSync(place) ? place : join("src", place);
  if (statSync(at).isFile()) return [at];
  return readdirSync(at, { withFileTypes: true })
    .map((entry) => join(at, entry.name))
    .sort()
    .flatMap((name) =>
      statSync(name).isDirectory() || (name.endsWith(".ts") && !name.endsWith(".d.ts"))
        ? listFiles(name)
        : [],
    );
}

/**
 * Has the mutation tester try changes of one room.
 *
 * @param keep is given what is known so far after each change that was tried
 */
async function tryMutants(mutants, room, keep) {
  const equivalent = mutants.map(findEquivalent);
  const wanted = mutants.filter((one, i) => equivalent[i] === undefined && !uncompiled.has(one));
  const file = join(root, "coverage", `drawn-${process.pid}.json`);
  writeFileSync(file, JSON.stringify(wanted));
  process.env[drawnFile] = file;
  if (values.slow) process.env[withSlow] = "yes";
  process.env[testedRooms] = [room, "library"].join(",");
  const describe = (results) =>
    mutants.map((mutant, i) => describeResult(mutant, equivalent[i], results));
  const sofar = [];
  tried.tell = (result) => {
    sofar.push(result);
    keep(describe(sofar));
  };
  keep(describe(sofar));
  const all = wanted.length === 0 ? [] : await new Stryker(options(wanted)).runMutationTest();
  rmSync(file);
  return describe(all);
}

/**
 * What became of a change; `NotTried` where no result is its own, and `Slow` where the clock ended its
 * tests: a busy machine does that as well as an endless loop, which the tester mostly knows by its turns.
 */
function describeResult(mutant, why, results) {
  if (uncompiled.has(mutant)) return { ...mutant, status: "Uncompiled" };
  if (why !== undefined) return { ...mutant, status: "Equivalent", why };
  const result = results.find((one) => isSameMutant(mutant, fromReport(one)));
  return {
    ...mutant,
    status: isOutOfTime(result) ? "Slow" : (result?.status ?? "NotTried"),
    why: result?.statusReason,
    tests: result?.coveredBy?.length ?? 0,
    killedBy: result?.killedBy?.[0],
    ...(values.further ? { further: true } : {}),
  };
}

function isOutOfTime(result) {
  return result?.status === "Timeout" && !result.statusReason?.startsWith("Hit limit");
}

/** The tester counts lines and columns from 1 in its report, and from 0 elsewhere. */
function fromReport({ fileName, location, mutatorName, replacement }) {
  const from0 = ({ line, column }) => ({ line: line - 1, column: column - 1 });
  return {
    file: relative(root, resolve(root, fileName)),
    start: from0(location.start),
    end: from0(location.end),
    kind: mutatorName,
    replacement,
  };
}

function options(mutants) {
  return {
    mutate: mutants.map(
      ({ file, start, end }) =>
        `${file}:${start.line + 1}:${start.column}-${end.line + 1}:${end.column}`,
    ),
    mutator: { excludedMutations: leftOut },
    plugins: [
      "@stryker-mutator/vitest-runner",
      fileURLToPath(new URL("drawn-checker.mjs", import.meta.url)),
    ],
    checkers: ["drawn"],
    testRunner: "vitest",
    vitest: { configFile: "scripts/mutate/vitest.config.mjs", related: true },
    coverageAnalysis: "perTest",
    concurrency: 1,
    // The compiler's own interface is not to be had in its present version, and nothing needs it here.
    tsconfigFile: "none",
    disableTypeChecks: false,
    ignorePatterns: ["coverage", "demo-desk"],
    tempDirName: `coverage/mutate-${process.pid}`,
    reporters: ["progress-append-only", "drawn"],
    logLevel: "warn",
    timeoutMS: 30_000,
    timeoutFactor: 4,
    dryRunTimeoutMinutes: 90,
    warnings: false,
    allowEmpty: true,
  };
}
