/**
 * How long lists and trends of many rounds take, and in how much memory: `npm run bench:years`.
 * Writes its figures into docs/performance.md; with `--quick` a few small rounds instead, and
 * nothing is written.
 *
 * The rounds are made from one that was measured, in the form in which `analyze` stores them: every
 * path with all its readings and curves, the readings a little apart.
 */
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { formatJson } from "../../dist/history/format-json.js";
import { randomOf } from "../fuzz/random.mjs";
import { putIntoPage } from "./into-page.mjs";
import { machine } from "./machine.mjs";

const quick = process.argv.includes("--quick");
const runner = fileURLToPath(new URL("run.mjs", import.meta.url));
const kept = new URL("../../tests/history/kept/2030-04-02-01.json", import.meta.url);
/** Strips, inputs and rounds. */
const desks = quick
  ? [[4, 2, 6]]
  : [
      [400, 2, 60],
      [96, 4, 50],
      [12, 1, 500],
    ];
const commands = [
  ["first list, which makes the index", "show", "--list"],
  ["list", "show", "--list"],
  ["trends", "compare", "--trend"],
];

const rows = [["desk", "what", "seconds", "processor s", "peak memory"]];
for (const [strips, inputs, rounds] of desks) {
  const folder = mkdtempSync(join(tmpdir(), "deskround-years-"));
  try {
    const bytes = writeYears(folder, strips, inputs, rounds);
    const name = `${strips * inputs} paths × ${rounds} rounds, ${(bytes / 1e9).toFixed(2)} GB`;
    for (const [what, ...args] of commands) {
      const { seconds, cpuSeconds, peakBytes } = measure([...args, "--desk", folder]);
      const peak = `${Math.round(peakBytes / 1e6)} MB`;
      rows.push([name, what, seconds.toFixed(2), cpuSeconds.toFixed(2), peak]);
      process.stderr.write(`${rows.at(-1).join("  ")}\n`);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
const text = [machine(), "", ...align(rows)].join("\n");
process.stdout.write(`${text}\n`);
if (!quick) putIntoPage(text, "bench years");

/** Two rounds a year; bytes of all of them. */
function writeYears(folder, strips, inputs, rounds) {
  const {
    paths: [one],
    ...head
  } = JSON.parse(readFileSync(kept, "utf8"));
  const names = ["mic", "line", "tape", "aux"].slice(0, inputs);
  const inputLines = names.map((name) => `  ${name}: { nominal: 4 }\n`).join("");
  const desk = `name: Bench\nmains: 50\nstrips: ${strips}\ninputs:\n${inputLines}`;
  mkdirSync(join(folder, "rounds"));
  writeFileSync(join(folder, "desk.yaml"), desk);
  const random = randomOf(1);
  const { readings, ...rest } = one;
  // All of a path's text but its name and readings is always the same.
  const frame = formatJson({
    ...rest,
    path: "@path@",
    strip: "@strip@",
    input: "@input@",
    family: "@input@",
  });
  let bytes = 0;
  for (let k = 0; k < rounds; k++) {
    const date = new Date(Date.UTC(2000, 0, 1) + k * 182 * 86_400_000).toISOString();
    const id = `${date.slice(0, 10)}-01`;
    const paths = Array.from({ length: strips * inputs }, (_, at) => {
      const [strip, input] = [Math.floor(at / inputs) + 1, names[at % inputs]];
      const own = Object.entries(readings).map(([reading, was]) => {
        const value = Number((was.value * (1 + 1e-3 * (random.next() - 0.5))).toPrecision(7));
        return [reading, { ...was, value }];
      });
      const text = frame
        .replace("@path@", `${strip}/${input}`)
        .replace("@strip@", String(strip))
        .replaceAll("@input@", input);
      return `${text.trimEnd().slice(0, -1)}, "readings": ${JSON.stringify(Object.fromEntries(own))} }`;
    });
    const frontText = JSON.stringify({ ...head, id, date }).slice(0, -1);
    const file = join(folder, "rounds", `${id}.json`);
    writeFileSync(file, `${frontText}, "paths": [\n${paths.join(",\n")}\n] }\n`);
    bytes += statSync(file).size;
  }
  return bytes;
}

/** Runs the program as a process of its own. */
function measure(args) {
  const began = performance.now();
  const { status, stderr } = spawnSync(process.execPath, [runner, ...args], { maxBuffer: 1 << 28 });
  const seconds = (performance.now() - began) / 1000;
  if (status !== 0) throw new Error(`${args.join(" ")} ended with ${status}: ${stderr}`);
  // Of the whole command, with the start of Node.
  return { ...JSON.parse(String(stderr).trim().split("\n").at(-1)), seconds };
}

function align(table) {
  const widths = table[0].map((_, k) => Math.max(...table.map((row) => row[k].length)));
  return table.map((row) =>
    row
      .map((cell, k) => (k < 2 ? cell.padEnd(widths[k]) : cell.padStart(widths[k])))
      .join("  ")
      .trimEnd(),
  );
}
