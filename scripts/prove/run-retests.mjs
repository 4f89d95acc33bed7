import { join } from "node:path";
import { noteFault } from "../../dist/jobs/note/note-fault.js";
import { noteRepair } from "../../dist/jobs/note/note-repair.js";
import { analyzeRetest, makeRetestSheet } from "../../dist/jobs/retest.js";
import { buildRetest } from "../../dist/simulate/retest.js";
import { withThreadPool } from "../../dist/threads/thread-pool.js";
import { drawRetest, pathsInOrder, placedOf, retestKinds } from "./draw-shared.mjs";
import { makeDeskFolder, recordPaths, storeRoundOf, withFolder } from "./shared-folders.mjs";
import { singleFaults } from "./shared-truth.mjs";

const before = "2031-03-02";
const after = "2031-03-05";

/**
 * A round of a desk with single faults, and what the product says of a re-test of each kind.
 *
 * @param {ReturnType<import("./draw-shared.mjs").drawRetestDesk>} drawn
 * @param {string} profile of the signal
 * @returns {Promise<readonly RetestRun[]>}
 *
 * @typedef {object} RetestRun
 * @property {import("./draw-shared.mjs").RetestKind} kind
 * @property {string} what was done
 * @property {boolean} seen whether the round had shown every fault that is there
 * @property {object} retest
 */
export function runRetests(drawn, profile) {
  const record = (folder, options, paths, sides) =>
    sides === undefined
      ? recordPaths(folder, options, paths, profile)
      : recordPaths(folder, sides("left"), paths, profile, sides("right"));
  const faulty = { ...drawn.sound, faults: placedOf(drawn.singles) };
  return withFolder((folder) =>
    withThreadPool(async () => {
      const place = (name) => join(folder, name);
      const base = makeDeskFolder(place("base"), drawn);
      const all = pathsInOrder(drawn.sound);
      const files = await record(place("captures-base"), faulty, all, sidesOf(drawn, faulty));
      const round = await storeRoundOf(base, files, before);
      const seen = drawn.singles.every(({ path }) => isSeen(round, path));
      noteWork(base, drawn.singles);
      const { sheet, touched, neighbours } = await makeRetestSheet(base);
      const paths = sheet.patches.map(({ path }) => path);
      const runs = [];
      for (const kind of retestKinds) {
        const {
          what,
          interface: changed,
          ...done
        } = drawRetest(drawn, kind, {
          touched,
          neighbours,
        });
        const rebuilt = buildRetest(faulty, done);
        const options = changed === undefined ? rebuilt : { ...rebuilt, interface: changed };
        const sides = sidesOf(drawn, options, done.harmed);
        const captures = await record(place(`captures-${kind}`), options, paths, sides);
        const desk = makeDeskFolder(place(kind), drawn, base);
        const request = { desk, captures, silent: [], keep: "store", date: after };
        const { retest } = await analyzeRetest(request, () => {});
        runs.push({ kind, what, seen, retest });
      }
      return runs;
    }),
  );
}

/**
 * What each side of a stereo bus shows of a desk; undefined for a desk that is recorded in mono.
 *
 * @param {object} options of the desk with all its faults
 * @param {readonly object[]} harmed faults that a careless hand made
 */
function sidesOf({ stereo }, options, harmed = []) {
  if (stereo === undefined) return undefined;
  const shows = (where, side) => where === "both" || where === side;
  return (side) => ({
    ...options,
    faults: options.faults.filter((fault) =>
      shows(harmed.includes(fault) ? stereo.harmed : stereo.singles, side),
    ),
    repaired: shows(stereo.singles, side) ? options.repaired : [],
    sharedFaults: shows(stereo.shared, side) ? options.sharedFaults : [],
  });
}

function isSeen({ paths }, path) {
  const { findings } = paths.find((one) => one.path === path);
  return findings.some(({ severity }) => severity !== "remark");
}

/** What was heard in use, and that every strip was worked on. */
function noteWork(desk, singles) {
  for (const { path, name } of singles) {
    const { symptom } = singleFaults[name];
    if (symptom !== undefined) {
      noteFault({ desk, date: before, place: path, text: `sounds ${symptom}`, symptom });
    }
  }
  for (const { path } of singles) {
    const [strip] = path.split("/");
    noteRepair({ desk, date: after, place: strip, text: "repaired", parts: [] });
  }
}
