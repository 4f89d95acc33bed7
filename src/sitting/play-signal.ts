import { existsSync } from "node:fs";
import { join } from "node:path";
import type { DeskPath } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import type { SittingWorld } from "./sitting-world.js";

/** Plays the signal into one path after another, if the program plays at all. */
export interface SignalPlayer {
  readonly canPlay: boolean;
  readonly isPlaying: boolean;
  /** Nothing sounds before somebody has said that the monitors are muted. */
  readonly isMuted: boolean;
  /** Whether the last play has its return, so that the next play may be requested. */
  readonly isAnswered: boolean;
  /** An error that the person at the desk cannot fix. */
  readonly failure: { readonly error: unknown } | undefined;
  readonly setMuted: () => void;
  readonly setAnswered: () => void;
  /** Plays into a path; returns at once. */
  readonly start: (path: DeskPath) => void;
}

/** @param target folder of the recordings */
export function createSignalPlayer(
  { tell, play, checkChain }: Pick<SittingWorld, "tell" | "play" | "checkChain">,
  target: string,
): SignalPlayer {
  let isMuted = false;
  let isPlaying = false;
  let isChecked = false;
  let isAnswered = false;
  let failure: { readonly error: unknown } | undefined;
  const run = async (path: string, sound: (recording: string) => Promise<void>) => {
    isPlaying = true;
    isAnswered = false;
    try {
      if (checkChain !== undefined && !isChecked) {
        tell({ kind: "sound", what: "soft", path });
        const chain = await checkChain();
        tell({ kind: "chain", chain });
        if (chain.heard !== undefined) return;
        isChecked = true;
      }
      tell({ kind: "sound", what: "signal", path });
      await sound(nameRecording(target, path));
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      tell({ kind: "refused", error });
    } finally {
      isPlaying = false;
      tell({ kind: "sound", what: "over", path });
    }
  };
  return {
    canPlay: play !== undefined,
    get isPlaying() {
      return isPlaying;
    },
    get isMuted() {
      return isMuted;
    },
    get isAnswered() {
      return isAnswered;
    },
    get failure() {
      return failure;
    },
    setMuted() {
      isMuted = true;
    },
    setAnswered() {
      isAnswered = true;
    },
    start({ path }) {
      if (play === undefined) return;
      run(path, play).catch((error: unknown) => {
        failure = { error };
      });
    },
  };
}

/** A free file name for a recording that contains its path. */
function nameRecording(folder: string, path: string): string {
  const stem = path.replaceAll("/", "-").replace(/[^\p{L}\p{N}._ -]/gu, "_");
  for (let take = 1; ; take++) {
    const file = join(folder, take === 1 ? `${stem}.wav` : `${stem} take ${take}.wav`);
    if (!existsSync(file)) return file;
  }
}
