import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { stringify } from "yaml";
import type { OnProgress } from "../analysis/types.js";
import { deskFileName } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import type { Round } from "../history/types.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import { encodeSignalWav } from "../signal/signal-wav.js";
import type { Profile } from "../signal/types.js";
import { drawnScenario, type HiddenFault, type Scenario, scenario } from "../simulate/scenario.js";
import { runOnThreads, type ThreadJob } from "../threads/thread-pool.js";
import { assertReplaceable, writeFileAtomic } from "../write-file-atomic.js";
import { analyze } from "./analyze.js";
import { type RenderTask, runRenderTask } from "./render-task.js";
import { report } from "./report.js";
import type { DemoRequest } from "./types.js";

/** The demo's round beside what was hidden. */
export interface DemoResult {
  readonly round: Round;
  /** Folder with desk file, signal, captures and round. */
  readonly folder: string;
  readonly hidden: readonly HiddenFault[];
  /** The round's page. */
  readonly report: string;
}

const profile: Profile = "standard";
const sampleRate = 48_000;
/** The recorder's clock against the player's, as two machines have it. */
const clockPpm = 11;

/**
 * A virtual desk with hidden faults: its captures are rendered to WAV files, and the same code as
 * `analyze` makes a round of them.
 *
 * @throws DeskroundError `cannot-write` when the folder holds another desk or cannot be written
 */
export async function demo(request: DemoRequest, onProgress: OnProgress): Promise<DemoResult> {
  const chosen = request.seed === undefined ? scenario : drawnScenario(request.seed);
  const { folder } = request;
  claimFolder(folder, chosen);
  const table = buildSignalTable(profile, chooseBand(sampleRate));
  const signalFile = join(folder, `deskround-${profile}-${sampleRate}-int24.wav`);
  writeFileAtomic(signalFile, encodeSignalWav(table, sampleRate, "int24"), "replace");
  const captures = await record(folder, chosen, onProgress);
  const round = await analyze({ desk: folder, captures, silent: [], keep: "store" }, onProgress);
  const { file } = await report({ desk: folder, round: round.id });
  return { round, folder, hidden: chosen.hidden, report: file };
}

/** Writes the desk file; a folder that holds somebody's own desk is left alone. */
function claimFolder(folder: string, chosen: Scenario): void {
  const file = join(folder, deskFileName);
  const text = deskText(chosen);
  assertReplaceable(file);
  if (existsSync(file) && !readFileSync(file, "utf8").startsWith(heading)) {
    throw new DeskroundError(
      "cannot-write",
      `${folder} holds a desk already, which the demo must not touch.`,
      "Name another folder with --folder.",
    );
  }
  writeFileAtomic(file, text, "replace");
}

const heading = "# The demo's virtual desk: nothing here is real.\n";

function deskText({ name, options, deskInputs, referenceDbu }: Scenario): string {
  const inputs = Object.fromEntries(
    deskInputs.map(({ name: input, nominalDbu, setup }) => [input, { nominal: nominalDbu, setup }]),
  );
  const { mainsHz: mains, strips } = options;
  return `${heading}${stringify({ name, mains, strips, inputs, reference: referenceDbu })}`;
}

const rendering: ThreadJob<RenderTask, string> = {
  module: new URL("./render-task.js", import.meta.url),
  run: runRenderTask,
};

/** Plays the signal through every path and records it, one file a path. */
function record(folder: string, { options }: Scenario, onProgress: OnProgress) {
  const desk = { ...options, clockPpm };
  const tasks = options.inputs.flatMap((input) =>
    Array.from({ length: options.strips }, (_, k): RenderTask => {
      const strip = k + 1;
      const name = `${String(strip).padStart(2, "0")}-${input}.wav`;
      // Nobody presses record and play at the same instant twice.
      const beforeS = 0.35 + ((strip * 37 + input.length * 11) % 60) / 100;
      const file = join(folder, "captures", name);
      return { desk, strip, input, profile, sampleRate, beforeS, afterS: 0.4, file };
    }),
  );
  return runOnThreads(rendering, tasks, (done) =>
    onProgress({ stage: "recording", done, total: tasks.length }),
  );
}
