import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { stringify } from "yaml";
import { deskFileName } from "../../dist/desk/desk-file.js";
import { analyze } from "../../dist/jobs/analyze.js";
import { runOnThreads } from "../../dist/threads/thread-pool.js";
import { levelsDbu, recording } from "./run-desk.mjs";

/**
 * Does work in a temporary folder, which is removed whatever happens.
 *
 * @template T
 * @param {(folder: string) => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function withFolder(work) {
  const folder = mkdtempSync(join(tmpdir(), "deskround-prove-"));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  process.once("exit", remove);
  try {
    return await work(folder);
  } finally {
    remove();
    process.off("exit", remove);
  }
}

/**
 * A desk's folder: a copy of another one, or a new one with its desk file.
 *
 * @param {string} folder to be made
 * @param {{ seed: number, sound: object, banks: string }} desk
 * @param {string} [like] folder with what is known of the desk already
 * @returns {string} the folder
 */
export function makeDeskFolder(folder, desk, like) {
  mkdirSync(folder, { recursive: true });
  if (like === undefined) writeFileSync(join(folder, deskFileName), deskText(desk));
  else cpSync(like, folder, { recursive: true });
  return folder;
}

function deskText({ seed, sound, banks }) {
  const { strips, inputs, mainsHz } = sound;
  const { feeds, ribbons, groups } = sound.banks;
  const shared = Object.fromEntries(
    [...feeds, ...ribbons, ...groups].map((bank) => [bank.name, bank.strips.map(String)]),
  );
  return stringify({
    name: `virtual desk ${seed}`,
    mains: mainsHz,
    strips,
    inputs: Object.fromEntries(inputs.map((input) => [input, { nominal: levelsDbu[input] }])),
    ...(banks === "told" ? { flow: { shared } } : {}),
  });
}

/**
 * Records paths of a virtual desk, one file each, in the order given.
 *
 * @param {string} folder for the captures
 * @param {object} options of the virtual desk
 * @param {readonly string[]} paths
 * @param {string} profile of the signal
 * @param {object} [right] the desk as the right side of a stereo bus shows it; mono when left out
 * @returns {Promise<readonly string[]>} the files
 */
export async function recordPaths(folder, options, paths, profile, right) {
  mkdirSync(folder, { recursive: true });
  const tasks = paths.map((path, turn) => {
    const [strip, input] = path.split("/");
    const take = { path, strip: Number(strip), input, turn, beforeS: 0.4, afterS: 0.4 };
    const file = join(folder, `${strip.padStart(2, "0")}-${input}.wav`);
    return { options, right, profile, take, file };
  });
  return runOnThreads(recording, tasks, () => {});
}

/**
 * Makes a round of captures and stores it.
 *
 * @returns {Promise<import("../../dist/history/types.js").Round>}
 */
export function storeRoundOf(desk, captures, date) {
  return analyze({ desk, captures, silent: [], keep: "store", date }, () => {});
}
