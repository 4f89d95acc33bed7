import { join } from "node:path";
import { parentPort, workerData } from "node:worker_threads";
import { findBodyCase } from "./bodies.mjs";
import { readContainerCase } from "./containers.mjs";
import { readHeaderCase } from "./headers.mjs";
import { readTextCase } from "./texts.mjs";

const { kind, first, count, folder, state } = workerData;
const at = new Int32Array(state);
const file = join(folder, `${kind}.wav`);
const cases = {
  headers: readHeaderCase,
  containers: readContainerCase,
  bodies: findBodyCase,
  texts: readTextCase,
};
const counts = {};
for (let seed = first; seed < first + count; seed++) {
  Atomics.store(at, 0, seed);
  try {
    const outcome = await cases[kind](seed, file);
    counts[outcome] = (counts[outcome] ?? 0) + 1;
  } catch (error) {
    parentPort.postMessage({ seed, failed: error instanceof Error ? error.stack : String(error) });
  }
}
parentPort.postMessage({ counts });
