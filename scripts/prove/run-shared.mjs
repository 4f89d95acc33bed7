import { join } from "node:path";
import { plan } from "../../dist/jobs/plan.js";
import { withThreadPool } from "../../dist/threads/thread-pool.js";
import { pathsInOrder, placedOf } from "./draw-shared.mjs";
import { makeDeskFolder, recordPaths, storeRoundOf, withFolder } from "./shared-folders.mjs";

const before = "2031-03-02";
const after = "2032-03-02";

/**
 * What the product makes of a desk with a shared fault: with and without single faults on top, each
 * with and without a round of the year before, when nothing was wrong.
 *
 * @param {import("./draw-shared.mjs").SharedCase} drawn
 * @param {string} profile of the signal
 * @returns {Promise<readonly SharedRun[]>} the round of the sound desk first
 *
 * @typedef {object} SharedRun
 * @property {"sound" | "first" | "later"} round `first` where none is older
 * @property {boolean} hasShared
 * @property {boolean} hasSingles
 * @property {import("../../dist/history/types.js").Round} result
 * @property {object} plan
 */
export function runSharedCase(drawn, profile) {
  const paths = pathsInOrder(drawn.sound);
  return withFolder((folder) =>
    withThreadPool(async () => {
      const place = (name) => join(folder, name);
      const record = (name, options) => recordPaths(place(name), options, paths, profile);
      const older = makeDeskFolder(place("older"), drawn);
      const files = await record("captures-older", drawn.sound);
      const sound = await storeRoundOf(older, files, before);
      const soundPlan = (await plan({ desk: older, date: before })).plan;
      const runs = [
        { round: "sound", hasShared: false, hasSingles: false, result: sound, plan: soundPlan },
      ];
      for (const hasSingles of [false, true]) {
        const options = {
          ...drawn.sound,
          occasion: 1,
          faults: hasSingles ? placedOf(drawn.singles) : [],
          sharedFaults: [drawn.placed],
        };
        const captures = await record(`captures-${hasSingles}`, options);
        for (const round of ["first", "later"]) {
          const like = round === "later" ? older : undefined;
          const desk = makeDeskFolder(place(`${round}-${hasSingles}`), drawn, like);
          const result = await storeRoundOf(desk, captures, after);
          const made = await plan({ desk, date: after });
          runs.push({ round, hasShared: true, hasSingles, result, plan: made.plan });
        }
      }
      return runs;
    }),
  );
}
