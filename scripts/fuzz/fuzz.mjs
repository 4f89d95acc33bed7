/**
 * Feeds the readers spoilt WAV headers and spoilt FLAC and AIFF files, and the finder spoilt
 * recordings, and all that reads desk files, limits, notebooks, imports and rounds spoilt ones:
 * `npm run fuzz`.
 * Every case must end within two seconds, in a bounded memory, in an error for the user or in a
 * result that holds. A case that does not is printed with its seed:
 *
 *     node scripts/fuzz/fuzz.mjs [headers] [bodies] [containers] [first seed] [texts]
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Worker } from "node:worker_threads";

const [headers = 100_000, bodies = 10_000, containers = 20_000, first = 1, texts = 20_000] =
  process.argv.slice(2).map(Number);
const longestS = 2;
const mostBytes = 500e6;
const folder = mkdtempSync(join(tmpdir(), "deskround-fuzz-"));
let failures = 0;
let peak = 0;

try {
  await Promise.all([
    fuzz("headers", headers),
    fuzz("bodies", bodies),
    fuzz("containers", containers),
    fuzz("texts", texts),
  ]);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
process.stdout.write(`peak memory ${Math.round(peak / 1e6)} MB, ${failures} failures\n`);
if (failures > 0) process.exitCode = 1;

function fuzz(kind, count) {
  return new Promise((resolve, reject) => {
    const state = new SharedArrayBuffer(4);
    const at = new Int32Array(state);
    const began = Date.now();
    const worker = new Worker(new URL("worker.mjs", import.meta.url), {
      workerData: { kind, first, count, folder, state },
    });
    let last = -1;
    let cpuAtLast = 0;
    let longest = 0;
    const watch = setInterval(() => {
      const { rss } = process.memoryUsage();
      peak = Math.max(peak, rss);
      const seed = Atomics.load(at, 0);
      const now = Date.now();
      // Loading the program is not a case.
      if (seed !== last || seed < first) [last, cpuAtLast] = [seed, now];
      const took = (now - cpuAtLast) / 1000;
      longest = Math.max(longest, took);
      if (took > longestS || rss > mostBytes) {
        process.stdout.write(
          `${kind}: seed ${seed} takes ${took.toFixed(1)} s, ${Math.round(rss / 1e6)} MB\n`,
        );
        process.exit(1);
      }
    }, 50);
    worker.on("message", ({ seed, failed, counts }) => {
      if (failed !== undefined) {
        failures++;
        process.stdout.write(`${kind}: seed ${seed}: ${failed}\n`);
        return;
      }
      const words = Object.entries(counts).map(([what, n]) => `${n} ${what}`);
      const seconds = ((Date.now() - began) / 1000).toFixed(0);
      process.stdout.write(
        `${kind}: ${count} cases, seeds ${first} to ${first + count - 1}: ${words.join(", ")}; ${seconds} s, none over ${Math.max(0.1, longest).toFixed(1)} s\n`,
      );
    });
    worker.on("error", reject);
    worker.on("exit", () => {
      clearInterval(watch);
      resolve();
    });
  });
}
