import type { FollowedRecording } from "./follow/follow-recordings.js";
import type { HeardNow } from "./hear-recordings.js";
import type { SittingEvent } from "./sitting-events.js";

/** Watches over what comes from a recorder, whether or not it is the signal. */
export interface Watch {
  /**
   * What is to be told after one more look: that nothing new comes, that something else than the
   * signal plays, that the rate is another one.
   *
   * @param now what was heard since the last look; undefined where nothing new has come
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

/**
 * @param nowS when it begins
 * @example
 * createWatch(0).look([], undefined, 20); // [{ kind: "idle", forS: 20, recorder: "closed" }]
 */
export function createWatch(nowS: number): Watch {
  /** When something new was heard last, and in which recording. */
  let lastNew: { atS: number; file?: string; isPlaying: boolean } = { atS: nowS, isPlaying: false };
  let toldIdleS = 0;
  let isStallTold = false;
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
