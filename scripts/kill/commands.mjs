/**
 * Kills every command that writes, at drawn moments, and looks after each kill at what is left: what
 * was there is there, byte for byte or longer, what the command said that it did is done, and no file
 * is half of one.
 *
 * node scripts/kill/commands.mjs [kills, 500] [first of the drawn numbers, 1] [commands by name...]
 */
import { spawn, spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { readMornings } from "../../dist/history/morning-log.js";
import { listRounds, readRound } from "../../dist/history/store.js";
import { readNotebook } from "../../dist/service/notebook/read.js";
import { buildStores } from "../../dist/service/stores/ledger.js";
import { buildSignalTable, chooseBand } from "../../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../../dist/signal/signal-wav.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { assembleCapture, pause } from "../../dist/simulate/capture.js";
import { simulatePath, virtualDesk } from "../../dist/simulate/desk.js";

const launcher = fileURLToPath(new URL("../../bin/deskround.js", import.meta.url));
const self = fileURLToPath(import.meta.url);
const rate = 48_000;
const strips = 4;
/** Kills are drawn from this share of a command's time to this; most of the writing is late. */
const [from, to] = [0.25, 1];

/** A desk with two rounds, a notebook, stores, a strip-down book and recordings. */
function prepare() {
  const folder = mkdtempSync(join(tmpdir(), "kill-"));
  const desk = join(folder, "desk");
  mkdirSync(desk);
  writeFileSync(
    join(desk, "desk.yaml"),
    `name: The Quillmere desk\nmains: 50\nstrips: ${strips}\ninputs:\n  line: { nominal: 4 }\n`,
  );
  writeFileSync(
    join(desk, "strip-down.yaml"),
    "boards:\n  channel board:\n    strips: 1-4\n    steps: lift it out\n    fixings: 4x M3x8\n    connectors: ribbon\n    capacitors: [6x 10 µF 35 V]\n",
  );
  const virtual = virtualDesk({
    seed: 5,
    strips,
    inputs: ["line"],
    mainsHz: 50,
    clockPpm: 11,
    faults: [{ at: "1/line", fault: "low-cut-in", severity: 0.5 }],
  });
  const signal = synthesise(buildSignalTable("quick", chooseBand(rate)), rate);
  const heard = Array.from({ length: strips }, (_, k) =>
    simulatePath(virtual, k + 1, "line", signal, rate),
  );
  const long = (renders) => assembleCapture(renders, Array(renders.length + 1).fill(1), rate, 1);
  const write = (name, samples) =>
    writeFileSync(join(folder, name), encodeCaptureWav(samples, rate, "int24"));
  const noise = pause(signal.length / rate, rate, "loopback");
  write("line.wav", long(heard));
  const hear = (...args) =>
    spawnSync(process.execPath, [launcher, ...args, "--desk", desk], { stdio: "ignore" });
  hear("analyze", "--date", "2025-01-01", join(folder, "line.wav"));
  hear("analyze", "--date", "2025-02-01", join(folder, "line.wav"), "--replace", "last");
  hear("note", "add", "1", "hum");
  write("loopback.wav", long([signal.map((sample, k) => sample + noise[k])]));
  writeFileSync(join(folder, "pad.txt"), "2025-11-02 1: hum\nstrip 2: left side dull\n");
  return { folder, desk };
}

/** Asked to end, the program says what it has found so far. */
let isStopped = false;
const slowMs = 3000;

let drawn = 1;
/** Numerical Recipes' linear congruential generator, 0 to 1. */
function draw() {
  drawn = (drawn * 1_664_525 + 1_013_904_223) % 2 ** 32;
  return drawn / 2 ** 32;
}

/**
 * Every command that writes. `args` may be a function of what is there; `said` takes ids out of what
 * it printed, and `holds` says whether each is there. `replaces` may change, whole; all else stays.
 */
function listWriters({ folder, desk }) {
  const own = ["--desk", desk];
  const out = join(folder, "out");
  mkdirSync(out, { recursive: true });
  const notebook = () => readNotebook(desk);
  const noted = {
    said: (text) => [...text.matchAll(/^(?:Noted as )?(n\d+[a-z]*)\b/gm)].map(([, id]) => id),
    holds: (id) => [...notebook().entries, ...notebook().log].some((one) => one.id === id),
  };
  const longer = (pattern) => ({
    said: (text) => (pattern.test(text) ? ["it"] : []),
    holds: (_, before) => countLines(desk) > before.lines,
  });
  /** It says nothing by which it could be held to its word, or nothing that another did not say. */
  const unsaid = { said: () => [], holds: () => true };
  const firstOpen = () =>
    notebook().entries.find(({ line, closed }) => line.kind === "fault" && !closed)?.id ?? "n1";
  let k = 0;
  const round = {
    said: (text) => [...text.matchAll(/Stored round (\S+?)\.$/gm)].map(([, id]) => id),
    holds: (id) => listRounds(desk).includes(id),
  };
  const written = (file) => ({
    said: (text) => (text.includes(file) || /^Wrote /m.test(text) ? [file] : []),
    holds: (name) => existsSync(name),
  });
  const wav = join(folder, "line.wav");
  return [
    {
      name: "init",
      args: () => [
        "init",
        "--strips",
        "24",
        "--name",
        "D",
        "--mains",
        "50",
        "--desk",
        join(out, `new${++k}`),
      ],
      ...written("desk.yaml"),
      holds: () => existsSync(join(out, `new${k}`, "desk.yaml")),
    },
    {
      name: "signal",
      args: () => ["signal", ...own, "--profile", "quick", "--force"],
      replaces: /deskround-.*\.wav$/,
      ...written("deskround-"),
      holds: () => readdirSync(desk).some((one) => /^deskround-.*\.wav$/.test(one)),
    },
    {
      name: "signal --tone",
      args: () => ["signal", ...own, "--tone", "30", "--minutes", "0.2", "--force"],
      replaces: /\.wav$/,
      ...unsaid,
    },
    {
      name: "analyze",
      args: () => [
        "analyze",
        ...own,
        "--date",
        draw() < 0.5 ? "2025-03-01" : "2025-03-02",
        "--replace",
        "last",
        wav,
      ],
      replaces: /withdrawn\.json$/,
      ...round,
      holds: (id) => listRounds(desk).includes(id),
    },
    {
      name: "analyze a new round",
      args: () => [
        "analyze",
        ...own,
        "--only",
        "1",
        "--date",
        `2024-0${1 + Math.floor(9 * draw())}-1${Math.floor(10 * draw())}`,
        wav,
      ],
      ...round,
    },
    {
      name: "listen",
      args: () => ["listen", wav, ...own, "--until-complete", "--new", "--date", "2025-04-01"],
      ...round,
    },
    {
      name: "calibrate",
      args: () => ["calibrate", join(folder, "loopback.wav"), "--output-volts", "1.2", ...own],
      replaces: /calibration\.json$/,
      ...unsaid,
      said: (text) => (/calibration\.json/.test(text) ? ["it"] : []),
      holds: () => existsSync(join(desk, "calibration.json")),
    },
    { name: "note add", args: () => ["note", "add", "1", "hum", `${++k}`, ...own], ...noted },
    { name: "note meter", args: () => ["note", "meter", "1", "direct", "120mV", ...own], ...noted },
    {
      name: "note done",
      args: () => ["note", "done", "2", "C4 replaced", "--part", "1x 10 µF 35 V", ...own],
      ...noted,
    },
    {
      name: "note correct",
      args: () => ["note", "correct", firstOpen(), "hum and hiss", ...own],
      ...longer(/^Corrected /m),
    },
    {
      name: "note close",
      args: () => ["note", "close", firstOpen(), ...own],
      ...longer(/^Closed /m),
    },
    {
      name: "note accept",
      args: () => ["note", "accept", "1/line", "modified", ...own],
      ...longer(/^Noted|accepted/im),
      mayRefuse: true,
    },
    { name: "note off", args: () => ["note", "off", "3", `cover ${++k}`, ...own], ...noted },
    { name: "note back", args: () => ["note", "back", "all", ...own], ...unsaid, mayRefuse: true },
    {
      name: "note import",
      args: () => {
        writeFileSync(
          join(folder, "pad.txt"),
          Array.from(
            { length: 30 },
            (_, n) => `2025-01-02 ${1 + (n % strips)}: buzz ${++k}\n`,
          ).join(""),
        );
        return ["note", "import", join(folder, "pad.txt"), ...own];
      },
      said: (text) => (/^Imported 30/m.test(text) ? ["it"] : []),
      holds: (_, before) => countLines(desk) === before.lines + 30,
      isAllOrNone: 30,
    },
    {
      name: "opening start",
      args: () => ["opening", "start", ...own],
      ...unsaid,
      mayRefuse: true,
    },
    { name: "opening off", args: () => ["opening", "off", "4", "channel board", ...own], ...noted },
    {
      name: "opening unplugged",
      args: () => ["opening", "unplugged", "desk", `lead ${++k}`, ...own],
      ...noted,
    },
    { name: "opening back", args: () => ["opening", "back", "4", ...own], ...unsaid },
    {
      name: "opening counted",
      args: () => ["opening", "counted", "all", ...own],
      ...unsaid,
    },
    {
      name: "opening end",
      args: () => ["opening", "end", ...own],
      ...longer(/^The opening has ended/m),
      mayRefuse: true,
    },
    {
      name: "stores add",
      args: () => ["stores", "add", "electrolytic", "10", "µF", "63", "V", "--count", "2", ...own],
      ...longer(/in the stores\.$/m),
    },
    {
      name: "stores take",
      args: () => ["stores", "take", "electrolytic", "10", "µF", "63", "V", "--count", "1", ...own],
      ...longer(/in the stores\.$/m),
    },
    {
      name: "stores count",
      args: () => [
        "stores",
        "count",
        "electrolytic",
        "10",
        "µF",
        "63",
        "V",
        "--count",
        "9",
        ...own,
      ],
      ...longer(/in the stores\.$/m),
    },
    {
      name: "withdraw",
      args: () => ["withdraw", listRounds(desk)[0] ?? "last", "wrong desk", ...own],
      replaces: /withdrawn/,
      said: (text) => (/^Withdrew round/m.test(text) ? ["it"] : []),
      holds: () => true,
    },
    {
      name: "withdraw --undo",
      args: () => ["withdraw", "2025-01-01-01", "--undo", ...own],
      replaces: /withdrawn/,
      ...unsaid,
    },
    {
      name: "report",
      args: () => [
        "report",
        ...own,
        "--out",
        join(out, "page.html"),
        "--plots",
        join(out, "plots"),
      ],
      replaces: /\.(html|svg)$/,
      ...written("page.html"),
      holds: () => existsSync(join(out, "page.html")),
    },
    {
      name: "plan to a file",
      args: () => ["plan", ...own, "--format", "html"],
      ...unsaid,
    },
    {
      name: "check",
      args: () => ["check", ...own, "--format", "json"],
      ...unsaid,
    },
    {
      name: "show --list, its index",
      args: () => {
        rmSync(join(desk, "rounds", ".index"), { recursive: true, force: true });
        return ["show", "--list", ...own];
      },
      ...unsaid,
    },
    {
      name: "the log of mornings",
      program: [self, "--mornings", desk],
      replaces: /mornings\.jsonl$/,
      said: (text) => text.split("\n").slice(0, -1),
      holds: (day) => readMornings(desk).entries.some(({ date }) => date === day),
    },
    {
      name: "demo",
      args: () => {
        rmSync(join(out, "demo"), { recursive: true, force: true });
        return ["demo", "--folder", join(out, "demo")];
      },
      ...unsaid,
    },
  ];
}

function countLines(desk) {
  const file = join(desk, "notebook.jsonl");
  return existsSync(file) ? readFileSync(file, "utf8").split("\n").length - 1 : 0;
}

/** All files under a folder but those of no name that anybody looks for. */
function listFiles(folder) {
  return readdirSync(folder, { withFileTypes: true }).flatMap((one) => {
    if (one.name.startsWith(".")) return [];
    const path = join(folder, one.name);
    return one.isDirectory() ? listFiles(path) : [path];
  });
}

function takeSnapshot(folder) {
  return new Map(listFiles(folder).map((file) => [file, readFileSync(file)]));
}

/** Whether a file is whole, by what its kind begins and ends with. */
function isWhole(file, bytes) {
  const text = () => bytes.toString("utf8");
  switch (extname(file)) {
    case ".json":
      try {
        JSON.parse(text());
        return true;
      } catch {
        return false;
      }
    case ".jsonl":
      // The last line may be cut off; every other is whole.
      return text()
        .split("\n")
        .slice(0, -1)
        .every((line) => {
          try {
            return line === "" || JSON.parse(line) !== undefined;
          } catch {
            return false;
          }
        });
    case ".wav":
      return bytes.length >= 44 && bytes.readUInt32LE(4) + 8 === bytes.length;
    case ".html":
      return /<\/html>\s*$/.test(text());
    case ".svg":
      return /<\/svg>\s*$/.test(text());
    default:
      return bytes.length > 0 && bytes.at(-1) === 10;
  }
}

/** What is wrong after a kill: what is gone, half, or changed that was not to change. */
function compare(before, after, { replaces }) {
  const wrong = [];
  for (const [file, bytes] of before) {
    const now = after.get(file);
    // Who listens: of a program that was killed the next one takes it away.
    if (extname(file) === ".pid") continue;
    if (now === undefined) wrong.push(`${file} is gone`);
    else if (extname(file) === ".jsonl" && !now.subarray(0, bytes.length).equals(bytes))
      wrong.push(`${file} lost what it held`);
    else if (extname(file) !== ".jsonl" && !now.equals(bytes) && !replaces?.test(file))
      wrong.push(`${file} changed`);
  }
  for (const [file, bytes] of after)
    if (!isWhole(file, bytes)) wrong.push(`${file} is half of one`);
  return wrong;
}

/** Runs a program and ends it after so many milliseconds; undefined: lets it end. */
function runFor(words, milliseconds) {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, words, { stdio: ["ignore", "pipe", "pipe"] });
    let text = "";
    let timer;
    const hear = (data) => {
      text += data;
    };
    child.on("error", reject);
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    if (milliseconds !== undefined) timer = setTimeout(() => child.kill("SIGKILL"), milliseconds);
    child.on("close", (code) => {
      clearTimeout(timer);
      // A line that was cut off in the saying was not said.
      resolve({ text: text.slice(0, text.lastIndexOf("\n") + 1), code });
    });
  });
}

/**
 * @param times how many kills, over all commands in turn
 * @param seed of the moments
 * @param names of the commands; all when empty
 * @returns for each command how often it was killed, how often it was done before, and what was wrong
 */
export async function killCommands(times, seed, names = []) {
  drawn = seed;
  const shelf = prepare();
  const { folder, desk } = shelf;
  const counts = new Map();
  const wrong = [];
  try {
    const all = listWriters(shelf);
    const writers = names.length === 0 ? all : all.filter(({ name }) => names.includes(name));
    const took = new Map();
    for (const writer of all) {
      const began = performance.now();
      const { text, code } = await runFor(
        writer.program ?? [launcher, ...writer.args()],
        writer.program ? 700 : undefined,
      );
      took.set(writer.name, performance.now() - began);
      if (code !== 0 && code !== 3 && code !== null && !writer.mayRefuse) {
        throw new Error(`${writer.name} ended with ${code}: ${text}`);
      }
    }
    for (let k = 0; k < times; k++) {
      if (isStopped) break;
      const writer = writers[k % writers.length];
      // What takes long is killed once where the others are three times.
      const cycle = Math.floor(k / writers.length);
      if (cycle % 3 !== 0 && took.get(writer.name) > slowMs && names.length === 0) {
        times++;
        continue;
      }
      const words = writer.program ?? [launcher, ...writer.args()];
      const before = { files: takeSnapshot(folder), lines: countLines(desk) };
      const share = from + (to - from) * draw();
      const { text, code } = await runFor(words, share * took.get(writer.name));
      const found = compare(before.files, takeSnapshot(folder), writer);
      for (const id of writer.said(text)) {
        if (!writer.holds(id, before)) found.push(`${id} was acknowledged and is not there`);
      }
      const grown = countLines(desk) - before.lines;
      if (writer.isAllOrNone && grown !== 0 && grown !== writer.isAllOrNone)
        found.push(`${grown} of ${writer.isAllOrNone} lines`);
      found.push(...(await readAll(desk)));
      const one = counts.get(writer.name) ?? { kills: 0, ended: 0 };
      counts.set(writer.name, {
        kills: one.kills + (code === null ? 1 : 0),
        ended: one.ended + (code === null ? 0 : 1),
      });
      wrong.push(...found.map((what) => `${writer.name}, kill ${k + 1}: ${what}`));
    }
    return { counts, wrong };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Reads all that a desk holds with the program's own readers. */
async function readAll(desk) {
  const wrong = [];
  for (const id of listRounds(desk))
    await readRound(desk, id).catch((error) => wrong.push(error.message));
  try {
    const notebook = readNotebook(desk);
    if (buildStores(notebook).items.some(({ count }) => count < 0)) wrong.push("a stock below 0");
  } catch (error) {
    wrong.push(error.message);
  }
  return wrong;
}

/** Adds a morning after another, and says each when it is stored. */
async function writeMornings(desk) {
  const { appendMorning } = await import("../../dist/history/morning-log.js");
  let day = Date.now();
  for (;;) {
    day += 1000;
    const date = new Date(day).toISOString();
    appendMorning(desk, {
      date,
      verdict: "good",
      unit: "dBFS",
      signal: "together",
      paths: {},
      sentence: "All is as it was.",
    });
    process.stdout.write(`${date}\n`);
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  if (process.argv[2] === "--mornings") await writeMornings(process.argv[3]);
  else {
    process.once("SIGTERM", () => {
      isStopped = true;
    });
    const [times = "500", seed = "1", ...names] = process.argv.slice(2);
    const { counts, wrong } = await killCommands(Number(times), Number(seed), names);
    let kills = 0;
    let runs = 0;
    for (const [name, one] of counts) {
      kills += one.kills;
      runs += one.kills + one.ended;
      process.stdout.write(
        `${name.padEnd(26)} ${String(one.kills).padStart(3)} killed, ${one.ended} had ended\n`,
      );
    }
    process.stdout.write(
      `${runs} runs of ${counts.size} commands, ${kills} killed at work: ${wrong.length} wrong\n`,
    );
    for (const line of wrong) process.stdout.write(`  ${line}\n`);
    process.exitCode = wrong.length === 0 ? 0 : 1;
  }
}
