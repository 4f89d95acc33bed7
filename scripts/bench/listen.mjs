/**
 * How soon, and at what cost, `deskround listen` answers: part of `npm run bench`. Writes its figures
 * into docs/performance.md; with `--quick` on few paths, and nothing is written.
 *
 * The program runs as a process of its own, on one processor where `taskset` is there to see to it,
 * and is told what to do through its standard input, as a script would.
 */
import { spawn, spawnSync } from "node:child_process";
import {
  closeSync,
  ftruncateSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  writeFileSync,
  writeSync,
} from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { formatStarterDesk } from "../../dist/desk/starter.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { putIntoPage } from "./into-page.mjs";
import { machine } from "./machine.mjs";
import { encodeReturn, headerOf, randomOf, sampleRate, table } from "./recordings.mjs";

const quick = process.argv.includes("--quick");
const strips = quick ? 4 : 36;
const inputs = ["mic", "line"];
const hours = quick ? 0.2 : 10;
/** Answers that are timed: the last ones, with all the siblings there. */
const timed = quick ? 4 : 12;
const idleS = quick ? 5 : 30;
const program = fileURLToPath(new URL("run.mjs", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "deskround-listen-"));
const bytesPerFrame = 3;
/** A process that may run on one processor only leaves it at that. */
const pin =
  availableParallelism() > 1 && spawnSync("taskset", ["--version"]).status === 0
    ? ["taskset", "-c", "0"]
    : [];
const isOnOne = pin.length > 0 || availableParallelism() === 1;

try {
  const text = [machine(), "", ...(await bench())].join("\n");
  process.stdout.write(`${text}\n`);
  if (!quick) putIntoPage(text, "bench listen");
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function bench() {
  const answers = await timeAnswers();
  const quiet = await measureIdle(0);
  const room = await measureIdle(1e-4);
  const short = await followHours(1 / 6);
  const long = await followHours(hours);
  return [
    `${strips * inputs.length} paths × ${table.lengthS} s, 96 kHz, 24 bit, ${isOnOne ? "on one processor" : "on all processors"}:`,
    `  last sample on disk to the answer: median ${answers.median.toFixed(2)} s, longest ${answers.longest.toFixed(2)} s (the last ${timed} returns)`,
    `  processor time for it: at most ${answers.work.toFixed(2)} s`,
    `  peak memory ${megabytes(answers.peakBytes)}`,
    "while nothing plays, share of one processor:",
    `  recorder stands still ${percent(quiet.stands)}, writes digital silence ${percent(quiet.writes)}, writes noise at −80 dBFS ${percent(room.writes)}`,
    "followed as fast as it can, two returns in it:",
    `  10 minutes: peak memory ${megabytes(short.peakBytes)}`,
    `  ${hours} hours: peak memory ${megabytes(long.peakBytes)}, ${long.cpuSeconds.toFixed(0)} processor seconds`,
  ];
}

/** A sitting in a process of its own. */
function startSitting(name) {
  const desk = join(folder, name);
  spawnSync("mkdir", ["-p", desk]);
  const text = formatStarterDesk({ name: "Bench", strips: String(strips), inputs, mainsHz: 50 });
  writeFileSync(join(desk, "desk.yaml"), text);
  const recording = join(desk, "evening.wav");
  const words = [program, "listen", recording, "--desk", desk, "--json"];
  const [command, ...args] = [...pin, process.execPath, ...words];
  const child = spawn(command, args);
  let said = "";
  child.stderr.on("data", (data) => {
    said = (said + data).slice(-5000);
  });
  let seen = 0;
  let lastAt = 0;
  let waiting = () => {};
  createInterface({ input: child.stdout }).on("line", (line) => {
    if (!line.startsWith('{"kind":"answer"')) return;
    seen++;
    lastAt = performance.now();
    waiting();
  });
  const closed = new Promise((resolve) => child.once("close", resolve));
  return {
    recording,
    pid: child.pid,
    /** When the answer of this number came, milliseconds. */
    async answered(count) {
      while (seen < count) {
        const ended = await Promise.race([
          new Promise((resolve) => {
            waiting = resolve;
          }),
          closed.then(() => "ended"),
        ]);
        if (ended === "ended" && seen < count) throw new Error(`listen ended: ${said}`);
      }
      return lastAt;
    },
    async leave() {
      child.stdin.end("leave\n");
      await closed;
      return JSON.parse(said.trim().split("\n").at(-1));
    },
  };
}

/** A recording that is written as time passes. */
function startRecording(file) {
  const fd = openSync(file, "w");
  writeSync(fd, headerOf(0));
  let at = 80;
  return {
    append(bytes) {
      writeSync(fd, bytes, 0, bytes.length, at);
      at += bytes.length;
    },
    /** Room without samples, which costs no disk; the last second of each minute has one sample. */
    appendSilence(seconds) {
      const length = Math.round(seconds * sampleRate) * bytesPerFrame;
      for (let k = 10; k <= seconds; k += 10) {
        writeSync(fd, Buffer.from([1, 0, 0]), 0, 3, at + (k * sampleRate - 1) * bytesPerFrame);
      }
      at += length;
      ftruncateSync(fd, at);
    },
    close: () => closeSync(fd),
  };
}

async function timeAnswers() {
  const sitting = startSitting("answers");
  const recording = startRecording(sitting.recording);
  const played = new Float64Array(table.lengthS * sampleRate);
  played.set(synthesise(table, sampleRate));
  const rest = new Float64Array(sampleRate);
  const count = strips * inputs.length;
  const took = [];
  const worked = [];
  for (let k = 0; k < count; k++) {
    const random = randomOf(k + 7);
    const bytes = encodeReturn(played, 0.9 + 0.001 * (k % 7), 1e-4 * (1 + (k % 5) / 10), random);
    if (k < count - timed) {
      recording.append(bytes);
      recording.append(encodeReturn(rest, 1, 0, random));
      await sitting.answered(k + 1);
      continue;
    }
    // The first part faster, the end as time passes: what lies behind is heard by then.
    const live = Math.round(3 * sampleRate) * bytesPerFrame;
    const burst = Math.round(0.1 * sampleRate) * bytesPerFrame;
    recording.append(bytes.subarray(0, bytes.length - live));
    await sleep(3000);
    for (let at = bytes.length - live; at < bytes.length; at += burst) {
      recording.append(bytes.subarray(at, at + burst));
      if (at + burst < bytes.length) await sleep(100);
    }
    const onDisk = performance.now();
    // A recorder goes on.
    const going = setInterval(
      () => recording.append(encodeReturn(rest.subarray(0, 9600), 1, 0, random)),
      100,
    );
    const before = getProcessorSeconds(sitting.pid);
    took.push(((await sitting.answered(k + 1)) - onDisk) / 1000);
    worked.push(getProcessorSeconds(sitting.pid) - before);
    clearInterval(going);
    const [wall, cpu] = [took.at(-1), worked.at(-1)].map((value) => value.toFixed(2));
    process.stderr.write(`answer ${k + 1}: ${wall} s, ${cpu} processor s\n`);
  }
  recording.close();
  const { peakBytes } = await sitting.leave();
  const inOrder = took.toSorted((a, b) => a - b);
  return {
    median: inOrder[Math.floor(inOrder.length / 2)],
    longest: inOrder.at(-1),
    work: Math.max(...worked),
    peakBytes,
  };
}

/** @param noise amplitude of what the recorder writes */
async function measureIdle(noise) {
  const sitting = startSitting(`idle-${noise}`);
  const recording = startRecording(sitting.recording);
  const random = randomOf(3);
  const block = new Float64Array(sampleRate / 10);
  const second = Buffer.concat(
    Array.from({ length: 10 }, () =>
      noise === 0
        ? Buffer.alloc(block.length * bytesPerFrame)
        : encodeReturn(
            block.map(() => noise * random()),
            1,
            0,
            () => 0,
          ),
    ),
  );
  recording.append(second);
  await sleep(4000);
  const stands = await shareOf(sitting.pid, idleS);
  const going = setInterval(() => recording.append(second.subarray(0, second.length / 10)), 100);
  await sleep(2000);
  const writes = await shareOf(sitting.pid, idleS);
  clearInterval(going);
  recording.close();
  await sitting.leave();
  process.stderr.write(`idle: ${percent(stands)}, ${percent(writes)}\n`);
  return { stands, writes };
}

/** What a process has used so far (proc(5): ticks of 10 ms). */
function getProcessorSeconds(pid) {
  const fields = readFileSync(`/proc/${pid}/stat`, "utf8").split(") ")[1].split(" ");
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

/** Share of a processor that a process uses over some seconds. */
async function shareOf(pid, seconds) {
  const before = getProcessorSeconds(pid);
  const began = performance.now();
  await sleep(1000 * seconds);
  return (getProcessorSeconds(pid) - before) / ((performance.now() - began) / 1000);
}

async function followHours(length) {
  const sitting = startSitting(`hours-${length}`);
  const recording = startRecording(sitting.recording);
  const played = synthesise(table, sampleRate);
  recording.append(encodeReturn(played, 0.9, 1e-4, randomOf(7)));
  recording.append(encodeReturn(new Float64Array(sampleRate), 1, 0, randomOf(7)));
  await sitting.answered(1);
  recording.appendSilence(3600 * length - 2 * table.lengthS);
  recording.append(encodeReturn(played, 0.9, 1e-4, randomOf(8)));
  recording.append(encodeReturn(new Float64Array(sampleRate), 1, 0, randomOf(8)));
  await sitting.answered(2);
  recording.close();
  const used = await sitting.leave();
  process.stderr.write(`${length} hours: ${megabytes(used.peakBytes)}, ${used.cpuSeconds} s\n`);
  return used;
}

function sleep(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

function percent(share) {
  return `${(100 * share).toFixed(1)} %`;
}

function megabytes(bytes) {
  return `${Math.round(bytes / 1e6)} MB`;
}
