/**
 * Kills writers of a notebook in the middle of their work, two at a time, and looks whether any
 * accepted line is lost.
 *
 *     node scripts/notebook/crash.mjs [kills]
 */
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { readNotebook } from "../../dist/service/notebook/read.js";

const writer = fileURLToPath(new URL("writer.mjs", import.meta.url));
const kills = Number(process.argv[2] ?? 200);
const folder = mkdtempSync(join(tmpdir(), "notebook-"));
const accepted = [];
let killed = 0;
let at = Date.now();

try {
  while (killed < kills) {
    await Promise.all([1, 2].map((k) => writeAndKill(`${killed}-${k}`)));
    // A notebook of a thousand lines is as good as a larger one, and quicker.
    if (statSync(join(folder, "notebook.jsonl")).size > 300_000) takeStock();
  }
  takeStock();
} finally {
  rmSync(folder, { recursive: true, force: true });
}

/** Lets a writer write for a little while and kills it when it has begun. */
function writeAndKill(name) {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [writer, folder, name]);
    let said = "";
    child.stdout.on("data", (data) => {
      if (said === "") setTimeout(() => child.kill("SIGKILL"), 1 + ((killed * 7) % 23));
      said += data;
    });
    child.on("close", () => {
      killed++;
      // The last line may have been cut by the kill: it was not said.
      const lines = said.split("\n").slice(0, -1);
      accepted.push(...lines.map((line) => JSON.parse(line)));
      resolve();
    });
  });
}

function takeStock() {
  const { entries, damaged } = readNotebook(folder);
  const byId = new Map(entries.map(({ id, line }) => [id, line.text]));
  const lost = accepted.filter(({ id, text }) => byId.get(id) !== text);
  process.stdout.write(
    `${killed} kills, ${accepted.length} lines accepted, ${lost.length} lost, ${damaged.length} damaged, ${Date.now() - at} ms\n`,
  );
  if (lost.length > 0) process.exitCode = 1;
  accepted.length = 0;
  at = Date.now();
  rmSync(join(folder, "notebook.jsonl"));
}
