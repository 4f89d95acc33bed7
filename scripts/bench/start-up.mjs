/**
 * Processor time of the commands that answer at once: `show`, `check`, `plan` and `compare` of a
 * desk whose rounds are all alike, with two of them in the folder and with fifty.
 *
 *     node scripts/bench/start-up.mjs demo-desk [runs] [tree]
 *
 * Each command is run several times and the quickest counts, as other programs only ever take time
 * away. `tree` is another built checkout to compare with.
 */
import { spawnSync } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";

const [folder = "demo-desk", runs = "7", tree = "."] = process.argv.slice(2);
const program = resolve(tree, "bin", "deskround.js");
const commands = {
  "node alone": undefined,
  "--version": ["--version"],
  show: ["show"],
  check: ["check"],
  plan: ["plan"],
  compare: ["compare"],
};
/**
 * Tells the processor time of the whole process when it ends, on a channel of its own. CommonJS, as
 * the program is: the loader of ES modules costs 20 ms that a user does not pay.
 */
const clock = join(mkdtempSync(join(tmpdir(), "deskround-clock-")), "clock.cjs");
writeFileSync(
  clock,
  `const { writeSync } = require("node:fs");
process.on("exit", () => {
  const { user, system } = process.cpuUsage();
  writeSync(3, String((user + system) / 1000));
});`,
);

const desks = { 2: makeDesk(2), 50: makeDesk(50) };
try {
  for (const [name, args] of Object.entries(commands)) {
    const times = Object.entries(desks).map(
      ([rounds, desk]) => `${Math.min(...measure(args, desk)).toFixed(0)} ms with ${rounds} rounds`,
    );
    process.stdout.write(`${name}: ${times.join(", ")}\n`);
  }
} finally {
  for (const folder of [...Object.values(desks), dirname(clock)])
    rmSync(folder, { recursive: true });
}

/** A desk with the newest round of the folder as each of its rounds, one a year. */
function makeDesk(count) {
  const desk = mkdtempSync(join(tmpdir(), "deskround-start-up-"));
  cpSync(join(folder, "desk.yaml"), join(desk, "desk.yaml"));
  mkdirSync(join(desk, "rounds"));
  const newest = readdirSync(join(folder, "rounds")).sort().at(-1);
  const round = JSON.parse(readFileSync(join(folder, "rounds", newest), "utf8"));
  for (let k = 0; k < count; k++) {
    const day = `${2026 - k}-03-14`;
    const id = `${day}-01`;
    const text = JSON.stringify({ ...round, id, date: `${day}T12:00:00.000Z` });
    writeFileSync(join(desk, "rounds", `${id}.json`), `${text}\n`);
  }
  return desk;
}

/** @param args of the program; nothing is run but Node.js where they are left out */
function measure(args, desk) {
  const where = args?.[0].startsWith("-") === false ? ["--desk", desk] : [];
  const command = args === undefined ? ["--eval", "0"] : [program, ...args, ...where];
  return Array.from({ length: Number(runs) }, () => {
    const { output, status } = spawnSync(process.execPath, ["--require", clock, ...command], {
      stdio: ["ignore", "pipe", "pipe", "pipe"],
      encoding: "utf8",
      maxBuffer: 1e9,
    });
    if (status > 3) throw new Error(`${command.join(" ")}: exit code ${status}: ${output[2]}`);
    return Number(output[3]);
  });
}
