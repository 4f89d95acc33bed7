/**
 * How long a page takes, and how large it is: renders a stored round several times.
 *
 *     node scripts/report-speed.mjs demo-desk [round]
 */
import { readRound } from "../dist/history/store.js";
import { renderReport } from "../dist/jobs/report.js";

const [folder = "demo-desk", id = "last"] = process.argv.slice(2);
const round = await readRound(folder, id);
const times = [];
for (let k = 0; k < 5; k++) {
  const before = process.cpuUsage();
  const page = await renderReport({ round });
  const { user, system } = process.cpuUsage(before);
  times.push({ ms: (user + system) / 1000, bytes: Buffer.byteLength(page) });
}
const [first, ...more] = times.map(({ ms }) => Math.round(ms));
process.stdout.write(
  `${round.paths.length} paths: ${(times[0].bytes / 1e6).toFixed(2)} MB; ${first} ms of processor time at first, then ${Math.min(...more)} ms\n`,
);
