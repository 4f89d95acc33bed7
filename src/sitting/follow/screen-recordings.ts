import { countFramesOfSignal, isSignalItself } from "../../analysis/read/signal-itself.js";
import { openSamples } from "../../capture/containers/open-samples.js";
import type { SampleReader } from "../../capture/containers/sample-reader.js";
import { findEmbeddedSignal, type SignalFile } from "../../capture/signal-file.js";
import type { RecordingInfo } from "../../capture/types.js";
import { DeskroundError } from "../../errors.js";
import type { FollowedRecording } from "./follow-recordings.js";

/** A file among the recordings that does not belong to the sitting. */
export type PassedOver =
  /** The signal itself, as it should be played. */
  | { readonly file: string; readonly why: "signal" }
  /** Identical to another recording, or to its start, sample by sample. */
  | { readonly file: string; readonly why: "copy"; readonly of: string; readonly isWhole: boolean }
  /** A signal of this program that cannot be read. */
  | { readonly file: string; readonly why: "unreadable"; readonly error: DeskroundError };

export interface ScreenStep {
  /** Those that are listened to, in order; without `info` until that is known. */
  readonly recordings: readonly FollowedRecording[];
  /** Each is reported once. */
  readonly passedOver: readonly PassedOver[];
}

/** Keeps files that are not its recordings out of a sitting. */
export interface Screen {
  /**
   * @param isKnown whether a recording holds returns that were decided on already
   */
  look(
    recordings: readonly FollowedRecording[],
    isKnown: (file: string) => boolean,
  ): Promise<ScreenStep>;
  /**
   * Whether a file is kept out, for now or for good, so that no recorder can have continued in it.
   */
  isAside(id: number): boolean;
}

interface Screened {
  version: number;
  verdict: "asked" | "taken" | "passed-over";
  /** The recordings that it may be a copy of, and how many frames of it are theirs. */
  alike: Map<number, number>;
  /** Whether what it shares with them is more than digital silence. */
  hasSound: boolean;
  /** The recording that it is a copy of. */
  copyOf?: number;
  frames: number;
}

/** Two recordings of a desk are never identical, not even in their first tenth of a second. */
const blockFrames = 16_384;
/** Frames compared at a time, so that keys are answered in between. */
const mostFrames = 5_000_000;

/**
 * @example
 * const { recordings } = createFollower({ target: recording, leftAlone: [] }).poll(0);
 * (await createScreen().look(recordings, () => false)).recordings.length; // 1
 */
export function createScreen(): Screen {
  /** By the recording's number. */
  const all = new Map<number, Screened>();

  const screen = async (
    one: FollowedRecording,
    others: readonly FollowedRecording[],
  ): Promise<PassedOver | undefined> => {
    const { info, file, state } = one;
    const own = all.get(one.id);
    if (info === undefined || own === undefined) return undefined;
    const signal = readSignal(info);
    if (signal instanceof DeskroundError) {
      own.verdict = "passed-over";
      return { file, why: "unreadable", error: signal };
    }
    if (signal !== undefined) {
      if (await isSignalItself(signal, info)) {
        own.verdict = "passed-over";
        return { file, why: "signal" };
      }
      if (state === "growing" && info.frames < countFramesOfSignal(signal, info)) return undefined;
    }
    await compare(one, own, info, others);
    if (own.alike.size === 0) {
      own.verdict = "taken";
      return undefined;
    }
    if (!own.hasSound) return undefined;
    const copy = [...own.alike].flatMap(([id, frames]) => {
      const other = others.find((candidate) => candidate.id === id);
      if (other?.info === undefined || frames < info.frames) return [];
      const isWhole = other.info.frames === info.frames && other.state === "ended";
      return isWhole || state === "ended" ? [{ other, isWhole }] : [];
    });
    if (copy.length === 0) return undefined;
    own.verdict = "passed-over";
    own.copyOf = copy[0].other.id;
    return { file, why: "copy", of: copy[0].other.file, isWhole: copy[0].isWhole };
  };

  return {
    async look(recordings, isKnown) {
      const passedOver: PassedOver[] = [];
      for (const { id, version, file, info } of recordings) {
        const known = all.get(id);
        if (known?.version === version) {
          known.verdict = reconsider(known, info, recordings);
          continue;
        }
        const verdict = isKnown(file) ? "taken" : "asked";
        all.set(id, { version, verdict, alike: new Map(), hasSound: false, frames: 0 });
      }
      for (const one of recordings) {
        const own = all.get(one.id);
        if (own?.verdict !== "asked" || one.info === undefined) continue;
        const isTaken = ({ id }: FollowedRecording) => all.get(id)?.verdict === "taken";
        const told = await screen(one, recordings.filter(isTaken));
        own.frames = one.info.frames;
        if (told !== undefined) passedOver.push(told);
      }
      return {
        recordings: recordings
          .filter(({ id }) => all.get(id)?.verdict !== "passed-over")
          .map((one) => {
            const { info: _, ...held } = one;
            return isHeld(all.get(one.id)) ? held : one;
          }),
        passedOver,
      };
    },
    isAside(id) {
      const own = all.get(id);
      return own?.verdict === "passed-over" || isHeld(own);
    },
  };
}

/** Whether it is not listened to yet; digital silence may be, as it holds no part of a return. */
function isHeld(own: Screened | undefined): boolean {
  return own?.verdict === "asked" && (own.alike.size === 0 || own.hasSound);
}

/** A copy that grows longer than its original, or whose original is gone, is examined again. */
function reconsider(
  own: Screened,
  info: RecordingInfo | undefined,
  recordings: readonly FollowedRecording[],
): Screened["verdict"] {
  if (own.verdict !== "passed-over" || own.copyOf === undefined) return own.verdict;
  const original = recordings.find(({ id }) => id === own.copyOf);
  if (original?.info === undefined) {
    Object.assign(own, { alike: new Map(), hasSound: false, copyOf: undefined, frames: 0 });
    return "asked";
  }
  return (info?.frames ?? 0) > own.frames ? "asked" : own.verdict;
}

function readSignal(info: RecordingInfo): SignalFile | undefined | DeskroundError {
  try {
    return findEmbeddedSignal(info);
  } catch (error) {
    if (error instanceof DeskroundError) return error;
    throw error;
  }
}

/** Continues comparing a recording with those that it may be a copy of. */
async function compare(
  { id }: FollowedRecording,
  own: Screened,
  info: RecordingInfo,
  others: readonly FollowedRecording[],
): Promise<void> {
  const isFirst = own.frames === 0;
  const reader = await openSamples(info);
  try {
    for (const other of others) {
      const from = isFirst ? 0 : own.alike.get(other.id);
      own.alike.delete(other.id);
      if (other.id === id || other.info === undefined || from === undefined) continue;
      if (!isSameKind(info, other.info)) continue;
      const until = Math.min(info.frames, other.info.frames, from + mostFrames);
      const whole = await openSamples(other.info);
      try {
        const seen = countAlike(reader, whole, from, until);
        const isLonger = other.state === "ended" && info.frames > other.info.frames;
        if (seen.frames < until || (isLonger && until === other.info.frames)) continue;
        own.alike.set(other.id, seen.frames);
        own.hasSound ||= seen.hasSound;
      } finally {
        whole.close();
      }
    }
  } finally {
    reader.close();
  }
}

function isSameKind(a: RecordingInfo, b: RecordingInfo): boolean {
  return a.sampleRate === b.sampleRate && a.channels === b.channels;
}

/** Up to which frame two recordings are identical, and whether any sample is not zero. */
function countAlike(a: SampleReader, b: SampleReader, from: number, until: number) {
  let hasSound = false;
  for (let at = from; at < until; at += blockFrames) {
    const count = Math.min(blockFrames, until - at);
    for (let channel = 0; channel < a.info.channels; channel++) {
      a.read(at, count, channel, first);
      b.read(at, count, channel, second);
      for (let i = 0; i < count; i++) {
        if (first[i] !== second[i]) return { frames: at + i, hasSound };
        hasSound ||= first[i] !== 0;
      }
    }
  }
  return { frames: until, hasSound };
}

const first = new Float64Array(blockFrames);
const second = new Float64Array(blockFrames);
