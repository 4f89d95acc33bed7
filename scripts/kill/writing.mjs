/**
 * Ends programs in the midst of storing rounds, and looks what is left: every round that a program
 * said to be stored must be there and whole, and nothing that is half a round may bear a round's
 * name.
 *
 * node scripts/kill/writing.mjs [times, 200] [first of the drawn numbers, 1]
 */
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { listRounds, readRound } from "../../dist/history/store.js";

/** Rounds as large as those of a small desk. */
const paths = 24;
/** Programs are ended within so many milliseconds after they began. */
const withinMs = 400;

/** The program that is ended: stores one round after another and says each when it is stored. */
async function writeOn(folder) {
  const { storeRound } = await import("../../dist/history/store.js");
  const round = await aRound();
  process.stdout.write("ready\n");
  for (;;) process.stdout.write(`${storeRound(folder, round).id}\n`);
}

async function aRound() {
  const { readFileSync } = await import("node:fs");
  const file = new URL("../../tests/history/kept/2030-04-02-01.json", import.meta.url);
  const { id: _, ...round } = JSON.parse(readFileSync(file, "utf8"));
  const [path] = round.paths;
  return {
    ...round,
    paths: Array.from({ length: paths }, (_, k) => ({
      ...path,
      path: `${k + 1}/line`,
      strip: `${k + 1}`,
    })),
  };
}

/**
 * @param times how often a program is ended
 * @param seed of the moments
 * @returns what was said to be stored, and what is wrong with it: nothing
 */
export async function killWriting(times, seed) {
  const folder = mkdtempSync(join(tmpdir(), "kill-"));
  const said = [];
  let state = seed;
  try {
    for (let k = 0; k < times; k++) {
      // Numerical Recipes' linear congruential generator.
      state = (state * 1_664_525 + 1_013_904_223) % 2 ** 32;
      // Half of them once a round is stored: on a busy machine none may be within that time.
      said.push(...(await endedAfter(folder, (state / 2 ** 32) * withinMs, k % 2)));
    }
    const wrong = [];
    const there = listRounds(folder);
    for (const id of said) if (!there.includes(id)) wrong.push(`${id} was stored and is not there`);
    for (const id of there) {
      await readRound(folder, id).catch((error) => wrong.push(error.message));
    }
    const files = existsSync(join(folder, "rounds")) ? readdirSync(join(folder, "rounds")) : [];
    const left = files.length - there.length;
    return { said: said.length, there: there.length, left, wrong };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Starts a program and ends it so many milliseconds after it has stored this many rounds. */
function endedAfter(folder, milliseconds, rounds) {
  return new Promise((resolve, reject) => {
    const program = spawn(process.execPath, [fileURLToPath(import.meta.url), "--write", folder], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    let heard = "";
    let timer;
    program.on("error", reject);
    program.stdout.on("data", (data) => {
      heard += data;
      if (heard.split("\n").length > 1 + rounds)
        timer ??= setTimeout(() => program.kill("SIGKILL"), milliseconds);
    });
    program.on("close", (code) => {
      clearTimeout(timer);
      if (code !== null) return reject(new Error(`the program ended by itself with ${code}`));
      // A line that was cut off in the saying was not said.
      resolve(heard.split("\n").slice(1, -1));
    });
  });
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  if (process.argv[2] === "--write") await writeOn(process.argv[3]);
  else {
    const [times = 200, seed = 1] = process.argv.slice(2).map(Number);
    const { said, there, left, wrong } = await killWriting(times, seed);
    process.stdout.write(
      `${times} programs ended: ${said} rounds said to be stored, ${there} there, ${left} unfinished files, ${wrong.length} wrong\n`,
    );
    for (const line of wrong) process.stdout.write(`  ${line}\n`);
    process.exitCode = wrong.length === 0 ? 0 : 1;
  }
}
