/**
 * Sends Ctrl-C and SIGTERM to every command at many moments, and to programs that wait for what
 * never comes, and measures how long each takes to end. Nothing may take longer than 0.2 s.
 *
 * node scripts/kill/signals.mjs [moments a command, 8]
 */
import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { buildSignalTable } from "../../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../../dist/signal/signal-wav.js";
import { synthesise } from "../../dist/signal/synthesise.js";

const launcher = fileURLToPath(new URL("../../bin/deskround.js", import.meta.url));
const kept = new URL("../../tests/history/kept/2030-04-02-01.json", import.meta.url);
/** Enough for reading and judging to take whole seconds without a pause. */
const strips = 800;
const terminal = spawnSync("script", ["--version"]).error === undefined;

/** A desk with two large rounds, a notebook, a recording, and what never answers. */
export function prepareDesk(paths = strips) {
  const folder = mkdtempSync(join(tmpdir(), "signals-"));
  mkdirSync(join(folder, "rounds"));
  writeFileSync(
    join(folder, "desk.yaml"),
    `name: Desk\nmains: 50\nstrips: ${paths}\ninputs:\n  line: { nominal: 4 }\n`,
  );
  const {
    paths: [one],
    ...head
  } = JSON.parse(readFileSync(kept, "utf8"));
  for (const year of [2021, 2022, 2023]) {
    const [id, date] = [`${year}-04-02-01`, `${year}-04-02T10:00:00Z`];
    const all = Array.from({ length: paths }, (_, k) => ({
      ...one,
      path: `${k + 1}/line`,
      strip: `${k + 1}`,
    }));
    writeFileSync(
      join(folder, "rounds", `${id}.json`),
      JSON.stringify({ ...head, id, date, paths: all }),
    );
  }
  writeFileSync(
    join(folder, "strip-down.yaml"),
    "boards:\n  channel board: { steps: lift it out, fixings: 4x M3x8, capacitors: [6x 10 µF 35 V] }\n",
  );
  const note = (k) => ({
    note: 1,
    id: `n${k}`,
    key: `${k}`.padStart(12, "0"),
    date: "2023-01-02T10:00:00Z",
    kind: "fault",
    strip: `${1 + (k % paths)}`,
    text: "hum, with lamp on",
  });
  const lines = Array.from({ length: 5000 }, (_, k) => JSON.stringify(note(k + 1)));
  writeFileSync(join(folder, "notebook.jsonl"), `${lines.join("\n")}\n`);
  writeFileSync(
    join(folder, "old.txt"),
    lines.map((_, k) => `2022-01-02 ${1 + (k % paths)}: buzz ${k}`).join("\n"),
  );
  const samples = synthesise(buildSignalTable("standard", "base"), 48_000);
  writeFileSync(join(folder, "1-line.wav"), encodeCaptureWav(samples, 48_000, "int24"));
  if (spawnSync("mkfifo", [join(folder, "fifo")]).status !== 0) throw new Error("no mkfifo here");
  return folder;
}

/** Every command at work. */
export function listCommands(folder) {
  const out = (name) => join(folder, "out", name);
  mkdirSync(join(folder, "out"), { recursive: true });
  const desk = ["--desk", folder];
  return [
    [
      "init",
      "init",
      "--strips",
      "24",
      "--inputs",
      "mic,line",
      "--name",
      "D",
      "--mains",
      "50",
      "--desk",
      out("new"),
    ],
    ["signal", "signal", ...desk, "--profile", "full", "--rate", "96000", "--force"],
    ["analyze", "analyze", ...desk, "--only", "1", join(folder, "1-line.wav")],
    ["show", "show", ...desk],
    ["show --list", "show", "--list", ...desk],
    ["show --why", "show", "--why", "7/line", ...desk],
    ["compare", "compare", ...desk],
    ["compare --trend", "compare", "--trend", ...desk],
    ["check", "check", ...desk],
    ["report", "report", ...desk, "--plots", out("plots"), "--out", out("page.html")],
    ["note add", "note", "add", "6", "hum", ...desk],
    ["note list", "note", "list", ...desk],
    ["note import", "note", "import", join(folder, "old.txt"), ...desk],
    ["note meter", "note", "meter", "6", "direct", "120mV", ...desk],
    ["note done", "note", "done", "6", "C4 replaced", "--part", "4x 10 µF 35 V", ...desk],
    ["note off", "note", "off", "6", "cover", ...desk],
    ["note back", "note", "back", "all", ...desk],
    ["note correct", "note", "correct", "n9", "buzz", ...desk],
    ["note close", "note", "close", "n10", ...desk],
    ["note accept", "note", "accept", "6/line", "modified", ...desk],
    ["note show", "note", "show", "n9", ...desk],
    ["opening start", "opening", "start", ...desk],
    ["opening off", "opening", "off", "6", "channel board", ...desk],
    ["opening unplugged", "opening", "unplugged", "desk", "talkback lead", ...desk],
    ["opening back", "opening", "back", "6", ...desk],
    ["opening counted", "opening", "counted", "all", ...desk],
    ["opening status", "opening", "status", ...desk],
    ["opening end", "opening", "end", ...desk],
    ["stores add", "stores", "add", "electrolytic", "10 µF 63 V", "--count", "9", ...desk],
    ["stores take", "stores", "take", "electrolytic", "10 µF 63 V", "--count", "1", ...desk],
    ["stores count", "stores", "count", "electrolytic", "10 µF 63 V", "--count", "9", ...desk],
    ["stores list", "stores", "list", ...desk],
    ["stores missing", "stores", "missing", ...desk],
    [
      "calibrate",
      "calibrate",
      join(folder, "1-line.wav"),
      "--output-volts",
      "1.2",
      "--desk",
      folder,
    ],
    ["listen", "listen", join(folder, "1-line.wav"), "--only", "1", "--until-complete", ...desk],
    ["morning", "morning", join(folder, "1-line.wav"), ...desk],
    ["signal --tone", "signal", "--tone", "30", "--minutes", "5", "--force", ...desk],
    ["plan --recap", "plan", "--recap", ...desk],
    ["plan", "plan", ...desk],
    ["plan --history", "plan", "--history", "6", ...desk],
    ["plan --retest", "plan", "--retest", ...desk],
    ["withdraw", "withdraw", "2021-04-02-01", "--because", "x", ...desk],
    ["demo", "demo", "--folder", out("demo")],
  ];
}

/** Every input that a user names, as something that never ends or never answers. */
export function listWaits(folder) {
  const fifo = join(folder, "fifo");
  const desk = ["--desk", folder];
  return [
    ["text on a terminal", { on: "terminal" }, "note", "add", "1", "-", ...desk],
    ["text through a pipe", { on: "pipe" }, "note", "add", "1", "-", ...desk],
    [
      "a recording that never comes",
      { on: "pipe" },
      "listen",
      join(folder, "never.wav"),
      "--new",
      ...desk,
    ],
    [
      "the same on a terminal",
      { on: "terminal" },
      "listen",
      join(folder, "never.wav"),
      "--new",
      ...desk,
    ],
    ["recordings of a folder", { on: "pipe" }, "listen", join(folder, "out"), "--new", ...desk],
    ["text from a FIFO", { from: fifo }, "note", "add", "1", "-", ...desk],
    ["text from a device", { from: "/dev/zero" }, "note", "add", "1", "-", ...desk],
    ...[fifo, "/dev/zero", "/dev/stdin"].flatMap((file) => [
      [`desk file ${file}`, { on: "pipe" }, "show", "--list", "--desk", file],
      [`limits ${file}`, { on: "pipe" }, "check", "--limits", file, ...desk],
      [`import ${file}`, { on: "pipe" }, "note", "import", file, ...desk],
      [`recording ${file}`, { on: "pipe" }, "analyze", file, ...desk],
      [`listen ${file}`, { on: "pipe" }, "listen", file, ...desk],
      [`loopback ${file}`, { on: "pipe" }, "calibrate", file, "--output-volts", "1.2", ...desk],
      [
        `map ${file}`,
        { on: "pipe" },
        "analyze",
        "--map",
        file,
        join(folder, "1-line.wav"),
        ...desk,
      ],
    ]),
  ];
}

/**
 * Starts a command, ends it after so many milliseconds, and measures how long that takes.
 *
 * @returns milliseconds from the signal to the end; undefined where it had ended before
 */
export function endAfter([, ...args], delay, signal, { on = "pipe", from } = {}) {
  const own = [launcher, ...args];
  const quoted = [process.execPath, ...own].map((one) => `'${one}'`).join(" ");
  const child =
    on === "terminal"
      ? spawn("script", ["-qec", quoted, "/dev/null"], { stdio: ["pipe", "ignore", "ignore"] })
      : from !== undefined
        ? spawn("bash", ["-c", `exec ${quoted} 0<> '${from}'`], { stdio: "ignore" })
        : spawn(process.execPath, own, { stdio: ["pipe", "ignore", "ignore"] });
  child.stdin?.on("error", () => {});
  return new Promise((resolve) => {
    let sent;
    const timer = setTimeout(() => {
      sent = performance.now();
      if (on === "terminal") child.stdin.write("\u0003");
      else child.kill(signal);
    }, delay);
    // What ignores the signal is ended for good, and counts as that long.
    const last = setTimeout(() => child.kill("SIGKILL"), delay + 10_000);
    child.on("exit", () => {
      clearTimeout(timer);
      clearTimeout(last);
      resolve(sent === undefined ? undefined : performance.now() - sent);
    });
  });
}

async function runAll(moments) {
  const folder = prepareDesk();
  let worst = 0;
  let signals = 0;
  const tell = (name, times) => {
    const known = times.filter((one) => one !== undefined);
    signals += known.length;
    const most = Math.max(0, ...known);
    worst = Math.max(worst, most);
    process.stdout.write(
      `${name.padEnd(28)} ${String(known.length).padStart(3)} signals, at most ${most.toFixed(0)} ms\n`,
    );
  };
  try {
    for (const command of listCommands(folder)) {
      const began = performance.now();
      spawnSync(process.execPath, [launcher, ...command.slice(1)], {
        stdio: "ignore",
        timeout: 60_000,
      });
      const took = performance.now() - began;
      rmSync(join(folder, "rounds", ".index"), { recursive: true, force: true });
      const times = [];
      for (let k = 0; k < moments; k++) {
        const delay = (took * (k + 0.5)) / moments;
        times.push(await endAfter(command, delay, k % 2 === 0 ? "SIGINT" : "SIGTERM"));
      }
      tell(command[0], times);
    }
    for (const [name, options, ...args] of listWaits(folder)) {
      if (options.on === "terminal" && !terminal) continue;
      const times = [];
      for (const signal of ["SIGINT", "SIGTERM"])
        times.push(await endAfter([name, ...args], 1500, signal, options));
      tell(name, times);
    }
    process.stdout.write(`${signals} signals, at most ${worst.toFixed(0)} ms\n`);
    process.exitCode = worst <= 200 ? 0 : 1;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  await runAll(Number(process.argv[2] ?? 8));
}
