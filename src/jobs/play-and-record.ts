import { existsSync, mkdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { playAndRecord } from "../audio/run-audio.js";
import { inspectRecording } from "../capture/containers/inspect-recording.js";
import { getDeskFile, getDeskFolder, nameFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import type { Profile } from "../signal/types.js";
import { type ChainCheck, checkChain } from "../sitting/check-chain.js";
import { listNames } from "../sitting/follow/follow-recordings.js";
import { formatCommand } from "../text/program-name.js";

/** Which signal to play on which desk. */
export interface SoundRequest {
  /** Folder that holds desk.yaml, whose `audio` names the programs; or the desk file itself. */
  readonly desk: string;
  /** The test signal; the only one in the desk's folder when absent. */
  readonly signalFile?: string;
  /** Chooses among several signals in the desk's folder. */
  readonly profile?: Profile;
}

/** A signal ready to be played and recorded. */
export interface Sound {
  readonly signalFile: string;
  /** Hz. */
  readonly sampleRate: number;
  /** Plays the signal once while recording into this file. */
  readonly play: (recording: string) => Promise<void>;
  /** Plays a soft signal and looks at what comes back; run it within `withThreadPool`. */
  readonly checkChain: () => Promise<ChainCheck>;
}

/**
 * Prepares to play the test signal by the programs named in the desk file. Nothing is played yet.
 *
 * @throws DeskroundError `usage` if the desk file names no programs or no signal is found
 */
export function openSound({ desk: name, signalFile, profile }: SoundRequest): Sound {
  const desk = readDesk(name);
  const { audio } = desk;
  if (audio === undefined) throw withoutAudio(name);
  const file = signalFile ?? findSignalFile(getDeskFolder(name), profile);
  const { sampleRate, channels } = inspectRecording(file);
  return {
    signalFile: file,
    sampleRate,
    play: (recording) =>
      playAndRecord(audio, { signalFile: file, recording, sampleRate, channels }),
    checkChain: () => checkChain(audio, desk, sampleRate),
  };
}

/** What is played once, and where its return goes. */
export interface PlayAndRecordRequest extends SoundRequest {
  /** File to record into; it must not exist yet. Its folder is made if missing. */
  readonly recording: string;
}

/**
 * Plays the test signal once and records what comes back. The caller must have made sure that the
 * monitors are muted.
 *
 * @returns the name of the recorded file, as requested
 * @throws DeskroundError `usage` if nothing can be played or recorded, or the file exists
 */
export async function playAndRecordOnce(request: PlayAndRecordRequest): Promise<string> {
  const { recording } = request;
  const sound = openSound(request);
  if (existsSync(recording)) {
    throw new DeskroundError(
      "usage",
      `${recording} exists already, and a recording is never overwritten.`,
      "Choose another name, or move the file away.",
    );
  }
  mkdirSync(dirname(recording), { recursive: true });
  await sound.play(recording);
  return recording;
}

/** The only test signal in the desk's folder, or the only one of the profile. */
function findSignalFile(folder: string, profile: Profile | undefined): string {
  const start = `deskround-${profile === undefined ? "" : `${profile}-`}`;
  const names = (listNames(folder) ?? []).filter(
    (name) => name.startsWith(start) && /\.wav$/i.test(name),
  );
  if (names.length === 1) return join(folder, names[0]);
  const signal = profile === undefined ? "test signal" : `${profile} signal`;
  throw new DeskroundError(
    "usage",
    names.length === 0
      ? `There is no ${signal} in ${nameFolder(folder)}.`
      : `There are ${names.length} ${signal}s in ${nameFolder(folder)}.`,
    names.length === 0
      ? `Write one with \`${formatCommand(`signal${profile === undefined ? "" : ` --profile ${profile}`}`)}\`, or name it with --signal.`
      : "Name the one to play with --signal, or its kind with --profile.",
  );
}

function withoutAudio(desk: string): DeskroundError {
  return new DeskroundError(
    "usage",
    `${getDeskFile(desk)} does not say how this computer plays and records.`,
    "Write into it, for instance: audio: { play: alsa, record: alsa }. Without it, let a recording program run and name its file.",
  );
}
