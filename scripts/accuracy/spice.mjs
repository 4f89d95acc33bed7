// The circuit simulator's capture against its own small-signal analysis.
//   node scripts/accuracy/spice.mjs
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { analyze } from "../../dist/jobs/analyze.js";

const root = new URL("../../", import.meta.url);
const truthFile = (name) => readFileSync(new URL(`tests/reference/spice/${name}`, root), "utf8");

function acTable(name) {
  const rows = truthFile(name)
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => line.split(",").map(Number));
  return (hz) => {
    const k = rows.findIndex(([f]) => f >= hz);
    const [f0, d0] = rows[k - 1];
    const [f1, d1] = rows[k];
    return d0 + ((d1 - d0) * Math.log(hz / f0)) / Math.log(f1 / f0);
  };
}

/** Largest deviation of response and gain over all strips, decibels, and the ranking. */
export async function spice() {
  const file = (name) => fileURLToPath(new URL(`fixtures/spice/${name}`, root));
  const round = await analyze(
    { desk: file("desk.yaml"), captures: [file("strips.wav")], silent: [], keep: "preview" },
    () => {},
  );
  const { paths } = JSON.parse(truthFile("truth.json"));
  let responseDb = 0;
  let gainDb = 0;
  for (const { path, table, gainAt1kHzDb } of paths) {
    const { curves, readings } = round.paths.find((p) => p.path === path);
    const ac = acTable(table);
    curves.response.x.forEach((hz, i) => {
      const off = Math.abs(curves.response.y[i] - (ac(hz) - ac(1000)));
      responseDb = Math.max(responseDb, off);
    });
    gainDb = Math.max(gainDb, Math.abs(readings.gain.value - gainAt1kHzDb));
  }
  const rank = (wanted) =>
    paths
      .filter(({ healthy }) => healthy === wanted)
      .map(({ path }) => round.paths.find((p) => p.path === path).rank);
  return { responseDb, gainDb, faulty: rank(false), healthy: rank(true) };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  process.stdout.write(`${JSON.stringify(await spice())}\n`);
}
