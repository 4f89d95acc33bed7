import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { stringify } from "yaml";
import type { OnProgress } from "../analysis/types.js";
import { assertOwnFile, type OwnKind } from "../assert-own-file.js";
import { deskFileName } from "../desk/desk-file.js";
import { stripDownFileName } from "../desk/strip-down/strip-down-file.js";
import { DeskroundError } from "../errors.js";
import { roundsFolderName } from "../history/rounds-folder.js";
import type { Round } from "../history/types.js";
import { notebookName } from "../service/notebook/notebook-file.js";
import { demoCaptureKind, signalKind } from "../signal/own-files.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import { encodeSignalWav } from "../signal/signal-wav.js";
import type { Profile } from "../signal/types.js";
import { drawnScenario, type HiddenFault, type Scenario, scenario } from "../simulate/scenario.js";
import { runOnThreads, type ThreadJob } from "../threads/thread-pool.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { analyze } from "./analyze.js";
import { type RenderTask, runRenderTask } from "./render-task.js";
import { report } from "./report.js";

/** What `demo` is asked to do. */
export interface DemoRequest {
  /** Folder of the virtual desk; made when absent. */
  readonly folder: string;
  /** Seed of another random desk with other faults; absent for the desk of the documentation. */
  readonly seed?: number;
}

/** The demo's round, and the faults that were hidden in it. */
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
/** Recorder's clock relative to the player's, as typical for two devices. */
const clockPpm = 11;

/**
 * Renders captures of a virtual desk with hidden faults to WAV files, and makes a round of them by
 * the same code as `analyze`.
 *
 * @throws DeskroundError `cannot-write` when the folder holds another desk, an edited desk file or
 * recordings
 *   that the demo did not render, or cannot be written
 */
export async function demo(request: DemoRequest, onProgress: OnProgress): Promise<DemoResult> {
  const chosen = request.seed === undefined ? scenario : drawnScenario(request.seed);
  const { folder } = request;
  const tasks = planRecordings(folder, chosen);
  const signalFile = join(folder, `deskround-${profile}-${sampleRate}-int24.wav`);
  claimFolder(folder);
  assertOwnFile(signalFile, signalKind);
  for (const { file } of tasks) assertOwnFile(file, demoCaptureKind);
  writeFileAtomic(join(folder, deskFileName), deskText(chosen), demoDeskKind);
  writeFileAtomic(join(folder, stripDownFileName), withSum(bookText(chosen)), demoDeskKind);
  const table = buildSignalTable(profile, chooseBand(sampleRate));
  writeFileAtomic(signalFile, encodeSignalWav(table, sampleRate, "int24"), signalKind);
  const captures = await record(tasks, onProgress);
  const round = await analyze({ desk: folder, captures, silent: [], keep: "store" }, onProgress);
  const { file } = await report({ desk: folder, round: round.id });
  return { round, folder, hidden: chosen.hidden, report: file };
}

/** Refuses a folder that holds a user's desk, notes or rounds. */
function claimFolder(folder: string): void {
  const file = join(folder, deskFileName);
  assertOwnFile(file, demoDeskKind);
  assertOwnFile(join(folder, stripDownFileName), demoDeskKind);
  if (existsSync(file)) return;
  const kept = [roundsFolderName, "controls", notebookName, "calibration.json"].find((name) =>
    existsSync(join(folder, name)),
  );
  if (kept === undefined) return;
  throw new DeskroundError(
    "cannot-write",
    `${folder} holds ${kept} of another desk, so the demo leaves it alone.`,
    "Name another folder with --folder.",
  );
}

const heading = "# The demo's virtual desk: nothing here is real.\n";

/**
 * The demo's desk file, as long as nobody has edited it: its second line is a checksum of the rest.
 */
export const demoDeskKind: OwnKind = {
  what: "demo desk",
  isOwn: (head, size) => {
    if (size !== head.length) return false;
    const text = head.toString("utf8");
    const end = text.indexOf("\n", heading.length) + 1;
    return text === withSum(text.slice(end));
  },
};

function withSum(rest: string): string {
  const sum = createHash("sha256").update(rest).digest("hex").slice(0, 16);
  return `${heading}# The demo replaces this file unless it was edited: ${sum}\n${rest}`;
}

function deskText({ name, options, deskInputs, referenceDbu }: Scenario): string {
  const inputs = Object.fromEntries(
    deskInputs.map(({ name: input, nominalDbu, setup }) => [input, { nominal: nominalDbu, setup }]),
  );
  const { mainsHz: mains, strips } = options;
  return withSum(stringify({ name, mains, strips, inputs, reference: referenceDbu }));
}

/**
 * Strip-down book of the demo's desk: a board for each input, one for what they share, and the
 * fader.
 */
function bookText({ options, deskInputs }: Scenario): string {
  const inputBoards = deskInputs.map(({ name }) => [
    `${name} board`,
    {
      stages: [`${name} socket`, `${name} input stage`, `${name} side of the input switch`],
      minutes: 6,
      knobs: "the knob of its level control, pulls off",
      connectors: `ribbon from the ${name} board to the main board`,
      steps: "slide it towards the front by its metal edge",
      fixings: "2x M3x8 countersunk",
      tools: ["PZ1 screwdriver", "11 mm nut driver"],
      capacitors: ["4x 22 µF 35 V", "2x 100 µF 25 V"],
    },
  ]);
  const boards = {
    ...Object.fromEntries(inputBoards),
    "main board": {
      stages: ["low-cut", "equaliser", "insert jack", "pan and bus resistors"],
      after: inputBoards.map(([name]) => name),
      minutes: 15,
      connectors: "bus connector",
      steps: "lift it straight up, off the bus connector",
      fixings: "6x M3x8 countersunk",
      tools: "PZ1 screwdriver",
      capacitors: "10x 10 µF 35 V",
    },
    fader: {
      stages: "fader",
      minutes: 5,
      connectors: "fader ribbon",
      steps: "lift the fader out to the front",
      fixings: "2x M3x6 pan head",
      tools: "PZ1 screwdriver",
    },
    "bus board": {
      sections: "master",
      minutes: 40,
      connectors: ["two ribbons, marked left and right", "meter lead"],
      steps: "tilt it forwards and lift it off its hinge",
      fixings: "8x M4x10 pan head",
      tools: "PZ2 screwdriver",
      people: 2,
    },
  };
  return stringify({
    open: {
      steps: [
        "undo the screws along the front edge",
        `raise the front panel of strips 1 to ${options.strips} and set its stay`,
      ],
      fixings: "12x M4x10 pan head",
      tools: "PZ2 screwdriver",
      weight: 14,
      people: 2,
    },
    boards,
  });
}

const rendering: ThreadJob<RenderTask, string> = {
  module: new URL("./render-task.js", import.meta.url),
  run: runRenderTask,
};

/** One file for each path. */
function planRecordings(folder: string, { options }: Scenario): readonly RenderTask[] {
  const desk = { ...options, clockPpm };
  return options.inputs.flatMap((input) =>
    Array.from({ length: options.strips }, (_, k): RenderTask => {
      const strip = k + 1;
      const name = `${String(strip).padStart(2, "0")}-${input}.wav`;
      // Varies per path, as by a person pressing record and play.
      const beforeS = 0.35 + ((strip * 37 + input.length * 11) % 60) / 100;
      const file = join(folder, "captures", name);
      return { desk, strip, input, profile, sampleRate, beforeS, afterS: 0.4, file };
    }),
  );
}

/** Plays the signal through every path and records it. */
function record(tasks: readonly RenderTask[], onProgress: OnProgress) {
  return runOnThreads(rendering, tasks, (done) =>
    onProgress({ stage: "recording", done, total: tasks.length }),
  );
}
