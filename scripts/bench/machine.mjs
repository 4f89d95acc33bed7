import { availableParallelism, cpus, loadavg, totalmem } from "node:os";

/** The machine that figures were taken on, in one line. */
export function machine() {
  const date = new Date().toISOString().slice(0, 10);
  const cores = availableParallelism();
  const load = loadavg()[0].toFixed(1);
  return `${date}, Node.js ${process.version.slice(1)}, ${process.arch}, ${cores} processors (${cpus()[0].model.trim()}), ${Math.round(totalmem() / 2 ** 30)} GiB of memory, load ${load} when it ended.`;
}
