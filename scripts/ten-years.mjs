/**
 * Ten years of a virtual desk: eleven rounds, one a spring, in a folder that `deskround compare`,
 * `compare --trend` and `check` can be tried on. Nothing is written into a round by hand: what
 * changes from year to year are the values of components, the recordings are played through them,
 * and `analyze` makes the rounds.
 *
 * node scripts/ten-years.mjs <folder> [years]
 *
 * - all electrolytics age; those of strips 5 to 8 stand beside hot resistors and age faster
 * - 2/line has an open leg from the beginning, which is repaired before 2033
 * - strip 6 gets new capacitors before 2037
 * - the interface's input is exchanged for one that is set 3 dB lower, before 2035
 * - 4/line loses a rail before 2039
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const built = new URL("../dist/", import.meta.url);
const strips = 8;
const input = "line";
const profile = "standard";
const sampleRate = 48_000;
const from = 2030;
const hot = [5, 6, 7, 8];
/** Years of wear in a year: beside a hot resistor, and elsewhere. */
const pace = { hot: 2.2, cool: 0.4 };
/** What the parts have behind them when the first round is made. */
const before = 2;

/** The desk as it was in a year. */
export function deskOf(year) {
  const age = (strip) => {
    const since = strip === 6 && year >= 2037 ? 2037 : from - before;
    return (year - since) * (hot.includes(strip) ? pace.hot : pace.cool);
  };
  return {
    seed: 77,
    strips,
    inputs: [input],
    mainsHz: 50,
    occasion: year,
    clockPpm: 11,
    interface: year >= 2035 ? { inputFullScaleDbu: 25 } : {},
    ages: Array.from({ length: strips }, (_, k) => ({ at: String(k + 1), years: age(k + 1) })),
    faults: [
      ...(year < 2033 ? [{ at: "2/line", fault: "open-leg", severity: 0.5 }] : []),
      ...(year >= 2039 ? [{ at: "4/line", fault: "missing-rail", severity: 0.6 }] : []),
    ],
  };
}

const deskFile = `# A virtual desk in ten years: nothing here is real.
name: The Farrowdale desk
mains: 50
strips: ${strips}
inputs:
  ${input}: { nominal: 4 }
`;

/** Makes the folder. @param years which rounds; all eleven when left out */
export async function makeTenYears(folder, years = Array.from({ length: 11 }, (_, k) => from + k)) {
  const [{ analyze }, { runOnThreads }, { runRenderTask }] = await Promise.all(
    ["jobs/analyze.js", "threads/thread-pool.js", "jobs/render-task.js"].map(
      (file) => import(new URL(file, built).href),
    ),
  );
  const rendering = { module: new URL("jobs/render-task.js", built), run: runRenderTask };
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "desk.yaml"), deskFile);
  const tasks = years.flatMap((year) =>
    Array.from({ length: strips }, (_, k) => ({
      desk: deskOf(year),
      strip: k + 1,
      input,
      profile,
      sampleRate,
      beforeS: 0.4,
      afterS: 0.3,
      file: join(folder, "captures", String(year), `${k + 1}-${input}.wav`),
    })),
  );
  const files = await runOnThreads(rendering, tasks, () => {});
  const rounds = [];
  for (const [k, year] of years.entries()) {
    const captures = files.slice(k * strips, (k + 1) * strips);
    const date = `${year}-04-02`;
    rounds.push(
      await analyze({ desk: folder, captures, silent: [], date, keep: "store" }, () => {}),
    );
  }
  return rounds;
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const [folder, ...years] = process.argv.slice(2);
  if (folder === undefined) {
    process.stderr.write("node scripts/ten-years.mjs <folder> [year …]\n");
    process.exitCode = 2;
  } else {
    const rounds = await makeTenYears(folder, years.length > 0 ? years.map(Number) : undefined);
    process.stdout.write(`${rounds.length} rounds are in ${folder}.\n`);
  }
}
