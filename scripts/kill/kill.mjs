/**
 * Kills `analyze` at a random moment, again and again, and looks at the desk's folder after each:
 * every round there must be whole, and those that were there before the same to the last byte.
 *
 *     node scripts/kill/kill.mjs [kills] [seed]
 */
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { formatStarterDesk } from "../../dist/desk/starter.js";
import { listRounds, readRound } from "../../dist/history/store.js";
import { buildSignalTable } from "../../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../../dist/signal/signal-wav.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { randomOf } from "../fuzz/random.mjs";

const [kills = 200, seed = 1] = process.argv.slice(2).map(Number);
const program = fileURLToPath(new URL("../../bin/deskround.js", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "deskround-kill-"));
const rounds = join(folder, "rounds");
const capture = join(folder, "1-mic.wav");
const random = randomOf(seed);
/** Round to the checksum it had when it was first seen. */
const known = new Map();
const count = { killed: 0, before: 0, stored: 0, leftovers: 0 };

try {
  prepare();
  const usual = Math.max(await run(), await run());
  await takeStock();
  for (let k = 0; k < kills; k++) {
    // Half of them near the end, where the round is written.
    const share = random.chance(0.5) ? random.next() : 0.75 + 0.35 * random.next();
    await run(usual * share);
    await takeStock();
    clearOld();
  }
  await run();
  await takeStock();
  const left = hidden();
  if (left.length > 0) throw new Error(`left behind after a whole run: ${left.join(", ")}`);
  process.stdout.write(
    `${kills} runs: ${count.killed} killed in their midst, ${kills - count.killed} had ended; ${known.size} rounds, all whole and none touched; ${count.leftovers} kills left an unfinished file, all cleared later\n`,
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}

function prepare() {
  const desk = { name: "Desk", strips: "1", inputs: ["mic"], mainsHz: 50 };
  writeFileSync(join(folder, "desk.yaml"), formatStarterDesk(desk));
  const samples = synthesise(buildSignalTable("quick", "base"), 48_000);
  for (let n = 0; n < samples.length; n++) samples[n] += 1e-5 * (random.next() - 0.5);
  writeFileSync(capture, encodeCaptureWav(samples, 48_000, "int24"));
}

/** Runs the program; kills it after so many milliseconds, when it still runs. */
function run(killAfter) {
  const began = Date.now();
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [program, "analyze", "--desk", folder, capture], {
      stdio: "ignore",
    });
    const timer =
      killAfter === undefined ? undefined : setTimeout(() => child.kill("SIGKILL"), killAfter);
    child.on("exit", (_, signal) => {
      clearTimeout(timer);
      if (signal === "SIGKILL") count.killed++;
      resolve(Date.now() - began);
    });
  });
}

async function takeStock() {
  for (const id of listRounds(folder)) {
    const bytes = readFileSync(join(rounds, `${id}.json`));
    const sum = createHash("sha256").update(bytes).digest("hex");
    if (!known.has(id)) {
      await readRound(folder, id);
      known.set(id, sum);
    } else if (known.get(id) !== sum) throw new Error(`round ${id} was touched`);
  }
  for (const id of known.keys()) {
    if (!listRounds(folder).includes(id)) throw new Error(`round ${id} is gone`);
  }
}

/** What a kill left is made to look old, so that the next writing takes it away. */
function clearOld() {
  for (const name of hidden()) {
    count.leftovers++;
    const old = new Date(Date.now() - 3_600_000);
    utimesSync(join(rounds, name), old, old);
  }
}

function hidden() {
  try {
    // The index beside the rounds may be thrown away, and is made anew.
    return readdirSync(rounds).filter((name) => !name.endsWith(".json") && name !== ".index");
  } catch {
    return [];
  }
}
