/**
 * Several draws of faults in one desk. A path that is not ill itself sounds the same in all of them, so
 * what was recorded, found and measured of it once serves them all; every round is judged anew.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildDeskReference } from "../../dist/analysis/judge/desk-reference.js";
import { judgeTakes } from "../../dist/analysis/judge/judge-takes.js";
import { placeCaptures } from "../../dist/analysis/place/place-captures.js";
import { readCaptures } from "../../dist/analysis/read/read-captures.js";
import { buildRoundCapture } from "../../dist/analysis/read/round-head.js";
import { measureTakes } from "../../dist/analysis/takes/measure-takes.js";
import { takeMeasurements } from "../../dist/analysis/takes/take-measurements.js";
import { deskFileName } from "../../dist/desk/desk-file.js";
import { readDesk } from "../../dist/desk/read/read-desk.js";
import { runOnThreads } from "../../dist/threads/thread-pool.js";
import { deskText, recording } from "./run-desk.mjs";

/**
 * Opens a folder for the rounds of one drawn desk; `close` removes it, as does the end of the process.
 *
 * @param {import("./draw.mjs").Plan} first any plan of that desk
 * @param {string} profile of the signal
 * @returns {{ run: (plan: import("./draw.mjs").Plan) => Promise<{ paths: readonly object[] }>, prepare: (plan: import("./draw.mjs").Plan) => Promise<readonly unknown[]>, close: () => void }}
 *   `run`: the paths of a round as `analyze` judges them; `prepare`: what `judgeTakes` is given of it
 */
export function openDesk(first, profile) {
  const folder = mkdtempSync(join(tmpdir(), "deskround-prove-"));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  process.once("exit", remove);
  writeFileSync(join(folder, deskFileName), deskText(first));
  const desk = readDesk(folder);
  /** What is known of a path's take, by all that it hangs on. */
  const known = new Map();
  let recordings = 0;

  async function record(plan, takes) {
    // The same path in another draw has the same name.
    const own = join(folder, String(recordings++));
    mkdirSync(own);
    const tasks = takes.map((take) => {
      const [strip, input] = take.path.split("/");
      const file = join(own, `${strip.padStart(2, "0")}-${input}.wav`);
      return { options: plan.options, profile, take, file };
    });
    await runOnThreads(recording, tasks, () => {});
    const names = tasks.map(({ file }) => file);
    const { captures } = await readCaptures(names, () => {});
    const found = new Map();
    for (const [k, { path }] of takes.entries()) {
      if (captures[k].found.returns.length > 0) found.set(path, captures[k].found.returns);
    }
    const measured = await measureTakes(found, captures, desk, undefined, () => {});
    for (const [k, take] of takes.entries()) {
      known.set(keyOf(plan, take), { capture: captures[k], measured: measured.get(take.path) });
    }
  }

  /** What `judgeTakes` is given of a round. */
  async function prepare(plan) {
    const missing = plan.takes.filter((take) => !known.has(keyOf(plan, take)));
    if (missing.length > 0) await record(plan, missing);
    const own = plan.takes.map((take) => known.get(keyOf(plan, take)));
    const captures = own.map(({ capture }) => capture);
    const placed = placeCaptures(captures, desk, { silent: [] });
    const recorded = new Map(
      plan.takes.flatMap(({ path }, k) =>
        placed.takes.has(path) ? [[path, own[k].measured]] : [],
      ),
    );
    const { chosen } = takeMeasurements(recorded, captures, desk, undefined, new Map());
    const made = { calibration: null, captures: captures.map(buildRoundCapture) };
    const reference = buildDeskReference(desk, made, undefined);
    return [desk, { placed, recorded, chosen }, reference];
  }

  return {
    prepare,
    run: async (plan) => judgeTakes(...(await prepare(plan))),
    close() {
      remove();
      process.off("exit", remove);
    },
  };
}

/** The same take of the same path with the same faults is the same recording. */
function keyOf({ options }, { path, strip, input, ...how }) {
  const played = `${strip}/${input}`;
  const faults = options.faults.filter(({ at }) => at === played || at === String(strip));
  return JSON.stringify([path, played, how, faults]);
}
