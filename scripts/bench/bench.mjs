/**
 * How fast and in how much memory captures become a round: `npm run bench`. Writes its figures into
 * docs/performance.md; with `--quick` a few paths and minutes instead, and nothing is written.
 *
 * The same measurements, written plainly in numpy and scipy (tests/bench/measure.py), run on the
 * same recordings, one process a processor, where Python with both is there.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { inspectRecording } from "../../dist/capture/containers/inspect-recording.js";
import { openSamples } from "../../dist/capture/containers/open-samples.js";
import { findReturns } from "../../dist/capture/find/find-returns.js";
import { formatStarterDesk } from "../../dist/desk/starter.js";
import { putIntoPage } from "./into-page.mjs";
import { machine } from "./machine.mjs";
import {
  sampleRate,
  table,
  writeLong,
  writeRound,
  writeSilence,
  writeTalk,
} from "./recordings.mjs";

const quick = process.argv.includes("--quick");
const strips = quick ? 8 : 36;
const inputs = ["mic", "line"];
const longHours = quick ? 0.5 : 10;
const here = fileURLToPath(new URL(".", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "deskround-bench-"));

try {
  const lines = await bench();
  const text = lines.join("\n");
  process.stdout.write(`${text}\n`);
  if (!quick) putIntoPage(text, "bench");
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function bench() {
  newDesk(strips);
  const round = join(folder, "evening.wav");
  const seconds = writeRound(round, strips * inputs.length);
  const ours = analyzed([round]);
  const rows = [
    ["what", "× real time", "seconds", "processor s", "peak memory"],
    [
      `a round: ${strips * inputs.length} paths × ${table.lengthS} s, 96 kHz, 24 bit`,
      times(seconds / ours.seconds),
      ours.seconds.toFixed(1),
      ours.cpuSeconds.toFixed(1),
      megabytes(ours.peakBytes),
    ],
  ];
  told(rows);
  for (const hours of [1 / 6, longHours]) {
    const file = join(folder, "long.wav");
    writeLong(file, 3600 * hours);
    const long = analyzed([file]);
    const name = hours < 1 && hours !== longHours ? "10 minutes" : `${hours} hours`;
    rows.push([
      `${name} with two returns in it`,
      times((3600 * hours) / long.seconds),
      long.seconds.toFixed(1),
      long.cpuSeconds.toFixed(1),
      megabytes(long.peakBytes),
    ]);
    told(rows);
    rmSync(file);
  }
  for (const [name, write] of [
    ["finding alone, in silence", writeSilence],
    ["finding alone, in talk", writeTalk],
  ]) {
    const file = join(folder, "pause.wav");
    const length = quick ? 60 : 600;
    write(file, length);
    const reader = await openSamples(inspectRecording(file));
    const began = performance.now();
    const cpu = process.cpuUsage();
    findReturns(reader);
    const took = (performance.now() - began) / 1000;
    const { user, system } = process.cpuUsage(cpu);
    const spent = (user + system) / 1e6;
    reader.close();
    rows.push([`${name}, one thread`, times(length / took), took.toFixed(1), spent.toFixed(1), ""]);
    told(rows);
    rmSync(file);
  }
  return [machine(), "", ...aligned(rows), "", ...comparison(round, seconds, ours)];
}

function newDesk(count) {
  const text = formatStarterDesk({ name: "Bench", strips: String(count), inputs, mainsHz: 50 });
  writeFileSync(join(folder, "desk.yaml"), text);
}

/** Runs `analyze` as a process of its own. */
function analyzed(files) {
  const args = [
    join(here, "run.mjs"),
    "analyze",
    "--desk",
    folder,
    "--preview",
    "--json",
    ...files,
  ];
  const { status, stderr, stdout } = spawnSync(process.execPath, args, { maxBuffer: 1 << 28 });
  if (status !== 0 && status !== 3) throw new Error(`analyze ended with ${status}: ${stderr}`);
  const used = JSON.parse(String(stderr).trim().split("\n").at(-1));
  return { ...used, round: JSON.parse(String(stdout)) };
}

/** The same work in numpy and scipy, or why it could not be done. */
function comparison(file, seconds, ours) {
  const job = join(folder, "job.json");
  const returns = ours.round.paths.flatMap(({ path, take }) =>
    take ? [{ path, start: take.startSample, drift: take.driftPpm }] : [],
  );
  writeFileSync(job, JSON.stringify({ file, sampleRate, table, returns, dataOffset: 80 }));
  const script = fileURLToPath(new URL("../../tests/bench/measure.py", import.meta.url));
  const { status, stdout, stderr, error } = spawnSync("python3", [script, job], {
    maxBuffer: 1 << 28,
    // One thread a process: as many processes as there are processors.
    env: { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" },
  });
  if (error !== undefined) {
    return ["No comparison with numpy and scipy: there is no python3 here."];
  }
  if (status !== 0) {
    const why = String(stderr).trim().split("\n").at(-1);
    return [`No comparison with numpy and scipy: python3 says "${why}".`];
  }
  const theirs = JSON.parse(String(stdout));
  const ratio = theirs.seconds / ours.seconds;
  const cpuRatio = theirs.cpuSeconds / ours.cpuSeconds;
  const words =
    ratio >= 1 ? `${ratio.toFixed(1)} times as long` : `${(100 * ratio).toFixed(0)} % of our time`;
  const off = gainsApart(ours.round, theirs.gains);
  return [
    `numpy ${theirs.numpy}, scipy ${theirs.scipy}, ${theirs.processes} processes, the same recordings:`,
    `${theirs.seconds.toFixed(1)} s, ${times(seconds / theirs.seconds)} × real time, ${megabytes(theirs.peakBytes)} in all; ${words},`,
    `and ${theirs.cpuSeconds.toFixed(1)} processor seconds: ${cpuRatio.toFixed(2)} times ours.`,
    `Ours made ${Object.keys(ours.round.paths[0].readings).length} readings with uncertainties and ${Object.keys(ours.round.paths[0].curves).length} curves a path, ranked and explained;`,
    `theirs ${theirs.figures} figures and curves without. Gains differ by at most ${off.toExponential(0)} dB.`,
  ];
}

/** The newest line, at once: the whole takes minutes. */
function told(rows) {
  process.stderr.write(`${rows.at(-1).join("  ")}\n`);
}

function gainsApart({ paths }, gains) {
  return Math.max(
    ...paths.map(({ path, readings }) => Math.abs(readings.gain.value - gains[path])),
  );
}

function times(value) {
  return value >= 100 ? value.toFixed(0) : value.toFixed(1);
}

function megabytes(bytes) {
  return `${Math.round(bytes / 1e6)} MB`;
}

function aligned(rows) {
  const widths = rows[0].map((_, k) => Math.max(...rows.map((row) => row[k].length)));
  return rows.map((row) =>
    row
      .map((cell, k) => (k === 0 ? cell.padEnd(widths[k]) : cell.padStart(widths[k])))
      .join("  ")
      .trimEnd(),
  );
}
