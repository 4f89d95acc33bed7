import { type ChildProcess, spawn } from "node:child_process";
import { statSync } from "node:fs";
import { type AudioProgram, type AudioSetup, audioPrograms } from "../desk/audio.js";
import { DeskroundError } from "../errors.js";
import {
  type AudioCommand,
  buildPlayCommand,
  buildRecordCommand,
  programPackages,
} from "./audio-commands.js";

/** What to play, and where to record its return. */
export interface PlayAndRecord {
  readonly signalFile: string;
  readonly recording: string;
  readonly sampleRate: number;
  /** Channels of the signal; 1 if absent. */
  readonly channels?: number;
}

/**
 * Recorded before and after the signal, milliseconds: some players exit while a sound server is
 * still playing what they handed over.
 */
const leadMs = 300;
const tailMs = 1500;
/** A recorder that has written nothing after this time does not work, milliseconds. */
const startMs = 5000;
/** Time for a recorder to close its file after an interrupt, before it is killed, milliseconds. */
const closeMs = 3000;
/** Only the end of a failed program's output is shown, characters. */
const mostSaid = 200;

/**
 * Plays a file and records at the same time, with the programs of the desk file.
 *
 * @throws DeskroundError `usage` for a program that is not installed, a device that is busy or
 * missing, or a recorder that writes nothing
 */
export async function playAndRecord(
  setup: AudioSetup,
  { signalFile, recording, sampleRate, channels = 1 }: PlayAndRecord,
): Promise<void> {
  const recorder = start(
    buildRecordCommand(setup, { file: recording, sampleRate }),
    "record",
    setup,
  );
  try {
    await Promise.race([recorder.failed, waitForSamples(recording)]);
    await wait(leadMs);
    const player = start(buildPlayCommand(setup, signalFile, channels), "play", setup);
    try {
      await Promise.race([player.ended, recorder.failed]);
    } finally {
      player.child.kill("SIGTERM");
    }
    await Promise.race([recorder.failed, wait(tailMs)]);
  } finally {
    await recorder.stop();
  }
}

interface Running {
  readonly child: ChildProcess;
  /** Fulfilled when it ended by itself, without an error. */
  readonly ended: Promise<void>;
  /** Never fulfilled: rejected if it ended too early or with an error. */
  readonly failed: Promise<never>;
  readonly stop: () => Promise<void>;
}

function start(
  { program, words }: AudioCommand,
  task: "play" | "record",
  setup: AudioSetup,
): Running {
  const child = spawn(program, [...words], { stdio: ["ignore", "ignore", "pipe"] });
  // Ending the program ends its playing and recording too.
  const onExit = () => child.kill("SIGTERM");
  process.once("exit", onExit);
  child.once("close", () => process.off("exit", onExit));
  let said = "";
  child.stderr?.on("data", (data: Buffer) => {
    said = (said + data.toString("utf8")).slice(-2000);
  });
  let isAsked = false;
  const ended = new Promise<void>((resolve, reject) => {
    child.once("error", (error) => reject(notStarted(program, task, setup, error)));
    child.once("close", (code) => {
      if (code === 0 || isAsked) resolve();
      else reject(brokenOff(program, task, code, said));
    });
  });
  const failed = new Promise<never>((_, reject) => {
    ended.then(
      () => {
        if (task === "record" && !isAsked) reject(brokenOff(program, task, 0, said));
      },
      (error: unknown) => reject(error),
    );
  });
  failed.catch(() => {});
  ended.catch(() => {});
  return {
    child,
    ended,
    failed,
    async stop() {
      isAsked = true;
      child.kill("SIGINT");
      const closed = ended.catch(() => {});
      const isClosed = await Promise.race([
        closed.then(() => true),
        wait(closeMs).then(() => false),
      ]);
      if (!isClosed) child.kill("SIGKILL");
      await closed;
    },
  };
}

/** A file of this size may be a header alone. */
const headBytes = 200;

async function waitForSamples(file: string): Promise<void> {
  for (let waited = 0; waited < startMs; waited += 50) {
    if ((statSync(file, { throwIfNoEntry: false })?.size ?? 0) > headBytes) return;
    await wait(50);
  }
  throw new DeskroundError(
    "usage",
    "The recorder was started but records nothing.",
    "Is the input device of `audio` in desk.yaml the right one, and not in use by another program?",
  );
}

function notStarted(
  program: string,
  task: "play" | "record",
  setup: AudioSetup,
  error: Error,
): DeskroundError {
  const chosen = setup[task];
  const isReady = typeof chosen === "string" && audioPrograms.includes(chosen as AudioProgram);
  const others = audioPrograms.filter((name) => name !== chosen).join(", ");
  return new DeskroundError(
    "usage",
    `${program}, which should ${task}, cannot be started: it is not installed.`,
    isReady
      ? `Install ${programPackages[chosen as AudioProgram]}, or choose another one for audio.${task} in desk.yaml: ${others}.`
      : `Check audio.${task} in desk.yaml.`,
    error,
  );
}

function brokenOff(
  program: string,
  task: "play" | "record",
  code: number | null,
  said: string,
): DeskroundError {
  const last = said.trim().split("\n").at(-1)?.trim().slice(-mostSaid) ?? "";
  const words = last === "" ? "" : `: ${last}`;
  const how = code === null || code === 0 ? "ended too early" : `failed (${code})`;
  return new DeskroundError(
    "usage",
    `${program}, which should ${task}, ${how}${words}.`,
    `Is the device free, and named correctly as audio.${task === "play" ? "output" : "input"} in desk.yaml?`,
  );
}

function wait(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
