/**
 * How often a capacitor with a quarter of its value left is named, wherever in the strip its corner is
 * the highest: virtual desks whose capacitors are drawn larger and smaller as a whole, so that now the
 * coupling capacitor and now that of the gain leg has the highest corner. One path after the other is
 * the ill one of its desk.
 *
 *     npm run build && node scripts/prove/quarter.mjs --desks 8 --seed 1
 */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { deskFileName } from "../../dist/desk/desk-file.js";
import { analyze } from "../../dist/jobs/analyze.js";
import { buildSignalTable, chooseBand } from "../../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../../dist/signal/signal-wav.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { simulatePath, virtualDesk } from "../../dist/simulate/desk.js";
import { withThreadPool } from "../../dist/threads/thread-pool.js";
import { diceOf } from "./draw.mjs";
import { sampleRate } from "./record-task.mjs";
import { deskText } from "./run-desk.mjs";
import { interval } from "./shared-tables.mjs";
import { table } from "./tables.mjs";

const strips = 8;
const left = 0.25;
/** An electrolyte that goes leaves more resistance in series. */
const moreOhm = 3;
const right = ["dried-coupling-capacitor", "dried-gain-leg-capacitor"];
const aroundS = 0.5;

const { values: asked } = parseArgs({
  options: { desks: { type: "string", default: "4" }, seed: { type: "string", default: "1" } },
});
const signal = synthesise(buildSignalTable("standard", chooseBand(sampleRate)), sampleRate);
const played = new Float64Array(signal.length + 2 * aroundS * sampleRate);
played.set(signal, aroundS * sampleRate);

const counted = [];
await withThreadPool(async () => {
  for (let k = 0; k < Number(asked.desks); k++) await judgeDesk(Number(asked.seed) + k);
});
const rows = [...new Set(counted.map(({ where }) => where))].sort().map((where) => {
  const own = counted.filter((one) => one.where === where);
  return [where, ...tell(own)];
});
process.stdout.write(
  `${table(["highest corner", "ill", "flagged", "named", ""], [...rows, ["all", ...tell(counted)]])}\n`,
);

function tell(own) {
  const named = own.filter((one) => one.named).length;
  const [low, high] = interval(named, own.length).map((part) => (100 * part).toFixed(0));
  const share = `${((100 * named) / own.length).toFixed(0)} %, ${low} to ${high}`;
  return [...[own.length, own.filter(({ flagged }) => flagged).length, named].map(String), share];
}

async function judgeDesk(seed) {
  const dice = diceOf(`${seed}/quarter`);
  const input = dice.of(["mic", "line", "tape"]);
  const options = {
    seed,
    strips,
    inputs: [input],
    mainsHz: 50,
    output: dice.chance(0.5) ? "direct" : "capacitor",
    faults: [],
  };
  // From a third to three times as large, in equal ratios.
  const sizes = { coupling: 9 ** dice.between(-0.5, 0.5), leg: 9 ** dice.between(-0.5, 0.5) };
  const desk = virtualDesk(options);
  const paths = Object.fromEntries(
    Object.entries(desk.paths).map(([path, values]) => [
      path,
      scaled(scaled(values, "coupling", sizes.coupling), "leg", sizes.leg),
    ]),
  );
  const folder = mkdtempSync(join(tmpdir(), "deskround-quarter-"));
  try {
    writeFileSync(join(folder, deskFileName), deskText({ seed, options, batches: "one" }));
    const numbers = Array.from({ length: strips }, (_, k) => k + 1);
    const files = numbers.map((strip) => join(folder, `${strip}-${input}.wav`));
    const record = (strip, own) => {
      const heard = simulatePath({ ...desk, paths: own }, strip, input, played, sampleRate);
      writeFileSync(files[strip - 1], encodeCaptureWav(heard, sampleRate, "int24"));
    };
    for (const strip of numbers) record(strip, paths);
    for (const strip of numbers) {
      const path = `${strip}/${input}`;
      const where = findHighest(paths[path]);
      record(strip, { ...paths, [path]: scaled(paths[path], where, left, moreOhm) });
      const request = { desk: folder, captures: files, silent: [], keep: "preview" };
      const { paths: judged } = await analyze(request, () => {});
      const { findings, causes } = judged[strip - 1];
      const flagged = findings.some(({ severity }) => severity !== "remark");
      const named = causes.slice(0, 1).some(({ cause }) => right.includes(cause));
      counted.push({ where: `${where} (${input})`, flagged, named });
      record(strip, paths);
    }
    process.stderr.write(`seed ${seed}: ${input}, ${JSON.stringify(sizes)}\n`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A path with one of its capacitors so many times as large. */
function scaled(values, which, times, ohmTimes = 1) {
  const change = (one) => ({
    ...one,
    farad: one.farad * times,
    seriesOhm: one.seriesOhm * ohmTimes,
  });
  if (which === "coupling") return { ...values, coupling: change(values.coupling) };
  return { ...values, gain: { ...values.gain, legCapacitor: change(values.gain.legCapacitor) } };
}

/** Which capacitor of a path has the highest corner, 1/(2πRC). */
function findHighest({ coupling, contact, gain }) {
  const couplingHz = 1 / (coupling.farad * contact.loadOhm);
  const legHz = 1 / (gain.legCapacitor.farad * gain.legOhm);
  return legHz > couplingHz ? "leg" : "coupling";
}
