import { statSync } from "node:fs";
import { basename, dirname } from "node:path";
import { findClosestWord } from "../desk/paths.js";
import { isRecordingName } from "../desk/recording-kinds.js";
import { type FollowedRecording, listNames } from "./follow/follow-recordings.js";
import type { HeardNow } from "./hear-recordings.js";
import type { SittingEvent } from "./sitting-events.js";

/** Watches over what comes from a recorder, whether or not it is the signal. */
export interface Watch {
  /**
   * What to report after one more look: that nothing new arrives, that something other than the signal
   * is playing, that the rate has changed.
   *
   * @param now what was heard since the last look; undefined if nothing new has come
   * @param nowS a clock that never goes back, seconds
   */
  look(
    recordings: readonly FollowedRecording[],
    now: HeardNow | undefined,
    nowS: number,
  ): readonly SittingEvent[];
  rename(from: string, file: string): void;
}

/** Recorders write every few seconds; one that adds nothing for so long has stopped, or its disk is full. */
const stalledS = 10;
/** What is louder than this and no part of a return is no noise of a desk, dBFS peak. */
const loudDbfs = -45;
/** A marker is found within a fraction of a second: what plays so long without one is not the signal. */
const strayS = 6;

/** A recorder that was started has a file by then; a misspelt name has none, seconds. */
const waitingS = 2;

/**
 * @param target the file or folder that is followed
 * @param nowS when it begins
 * @example
 * createWatch("evening.wav", 0).look([], undefined, 1); // [{ kind: "idle", forS: 1, recorder: "closed" }]
 */
export function createWatch(target: string, nowS: number): Watch {
  /** When something new was heard last, and in which recording. */
  let lastNew: { atS: number; file?: string; isPlaying: boolean } = { atS: nowS, isPlaying: false };
  let toldIdleS = 0;
  let isStallTold = false;
  let isWaitTold = false;
  /** Of the first recording, Hz. */
  let firstRate: number | undefined;
  const toldRates = new Set<string>();
  /** Since when something plays that is not the signal, seconds of the recording. */
  let loudSinceS: number | undefined;
  let isStrayTold = false;

  /** Each second for the meter; once that a recorder seems to have stopped. */
  const lookForNew = (recordings: readonly FollowedRecording[], atS: number): SittingEvent[] => {
    const forS = atS - lastNew.atS;
    if (forS - toldIdleS < 1) return [];
    toldIdleS = forS;
    const { file, isPlaying } = lastNew;
    const own = recordings.find((one) => one.file === file);
    const isClosed = own === undefined || own.state === "ended";
    const idle: SittingEvent = {
      kind: "idle",
      forS,
      recorder: isClosed ? "closed" : "open",
      ...(file === undefined ? {} : { file }),
    };
    if (recordings.length === 0 && !isWaitTold && forS >= waitingS) {
      isWaitTold = true;
      return [idle, describeWait(target)];
    }
    if (file === undefined || isClosed || isStallTold || forS < stalledS) return [idle];
    isStallTold = true;
    return [idle, { kind: "stalled", file, forS, isPlaying }];
  };

  const lookForStrays = ({ file, atS, peakDbfs, open }: HeardNow): SittingEvent[] => {
    if (open !== undefined || peakDbfs < loudDbfs) {
      loudSinceS = undefined;
      isStrayTold = false;
      return [];
    }
    loudSinceS ??= atS;
    if (isStrayTold || atS - loudSinceS < strayS) return [];
    isStrayTold = true;
    return [{ kind: "stray", file, peakDbfs }];
  };

  const lookAtRates = (recordings: readonly FollowedRecording[]): SittingEvent[] =>
    recordings.flatMap(({ file, info }) => {
      if (info === undefined) return [];
      firstRate ??= info.sampleRate;
      const key = `${file} ${info.sampleRate}`;
      if (info.sampleRate === firstRate || toldRates.has(key)) return [];
      toldRates.add(key);
      return [{ kind: "other-rate", file, sampleRate: info.sampleRate, before: firstRate }];
    });

  return {
    look(recordings, now, atS) {
      if (now === undefined) return [...lookForNew(recordings, atS), ...lookAtRates(recordings)];
      lastNew = { atS, file: now.file, isPlaying: now.open !== undefined };
      toldIdleS = 0;
      isStallTold = false;
      return [...lookForStrays(now), ...lookAtRates(recordings)];
    },
    rename(from, file) {
      if (lastNew.file === from) lastNew = { ...lastNew, file };
    },
  };
}

function describeWait(target: string): SittingEvent {
  const isFolder = statSync(target, { throwIfNoEntry: false })?.isDirectory() ?? false;
  const names = isFolder ? [] : (listNames(dirname(target)) ?? []).filter(isRecordingName);
  // A name without its ending is meant for one with it.
  const stem = (name: string) => name.replace(/\.[a-z0-9]+$/i, "");
  const wanted = stem(basename(target));
  // Another number is another take, and no slip of the finger.
  const letters = (name: string) => name.replace(/\d+/g, "");
  const stems = names.map(stem).filter((one) => one === wanted || letters(one) !== letters(wanted));
  const like = findClosestWord(wanted, stems);
  const near = names.find((name) => stem(name) === like);
  return { kind: "waiting", target, isFolder, ...(near === undefined ? {} : { near }) };
}
