import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { stringify } from "yaml";
import { deskFileName } from "../../dist/desk/desk-file.js";
import { analyze } from "../../dist/jobs/analyze.js";
import { runOnThreads } from "../../dist/threads/thread-pool.js";
import { runRecordTask } from "./record-task.mjs";

/** Renders and writes the capture of a path, on a thread of its own. */
export const recording = {
  module: new URL("./record-task.mjs", import.meta.url),
  run: runRecordTask,
};

/** Level at the socket of each input, dBu. */
export const levelsDbu = { mic: -40, line: 4, tape: 4 };

/**
 * Records a drawn desk into WAV files in a temporary folder and makes a round of them as `analyze`
 * does. The folder is removed, whatever happens.
 *
 * @param {import("./draw.mjs").Plan} plan
 * @param {string} profile of the signal
 * @returns {Promise<import("../../dist/history/types.js").Round>}
 */
export async function runDesk(plan, profile) {
  const folder = mkdtempSync(join(tmpdir(), "deskround-prove-"));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  process.once("exit", remove);
  try {
    writeFileSync(join(folder, deskFileName), deskText(plan));
    const tasks = plan.takes.map((take) => {
      const [strip, input] = take.path.split("/");
      const file = join(folder, `${strip.padStart(2, "0")}-${input}.wav`);
      return { options: plan.options, profile, take, file };
    });
    const captures = await runOnThreads(recording, tasks, () => {});
    return await analyze({ desk: folder, captures, silent: [], keep: "preview" }, () => {});
  } finally {
    remove();
    process.off("exit", remove);
  }
}

/** The desk file of a drawn desk: what its owner would have written. */
export function deskText({ seed, options, batches }) {
  const { strips, inputs, mainsHz } = options;
  const told = batches === "two, told" ? options.batches : [];
  return stringify({
    name: `virtual desk ${seed}`,
    mains: mainsHz,
    strips,
    inputs: Object.fromEntries(inputs.map((input) => [input, { nominal: levelsDbu[input] }])),
    families: Object.fromEntries(told.map((batch) => [batch.work, batch.strips.map(String)])),
  });
}
