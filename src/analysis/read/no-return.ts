import type { SearchResult } from "../../capture/find/find-returns.js";
import {
  countInvalid,
  invalidAdvice,
  isInvalidWithin,
} from "../../capture/find/invalid-samples.js";
import type { ChannelLevels } from "../../capture/find/level-meter.js";
import type { RecordingInfo } from "../../capture/types.js";
import type { DoubtCode } from "../../doubt.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import { formatMissingMiddle } from "../../report/doubts/format-incomplete-doubt.js";
import { describeIncomplete } from "./incomplete-phrases.js";

/** Why a capture holds no whole return. */
export interface NoReturnExplanation {
  /** Completes "what was heard is …". */
  readonly words: string;
  /** How much of the file is there, where that is less than its header promises. */
  readonly cut?: string;
  /** What to do about it. */
  readonly hint: string;
  /** The doubt that the hint is about, where there is one. */
  readonly about?: DoubtCode;
  /** Whether the path may be to blame, or only how it was recorded. */
  readonly blame: "path" | "capture";
  /** Why its path could not be measured, in words of its own. */
  readonly reason?: string;
  /** R.m.s. of all that was heard, 0 for a sine at full scale; absent for digital silence. */
  readonly levelDbfs?: number;
  /** Peak over r.m.s., decibels, and the share of samples at full scale; absent as above. */
  readonly crestDb?: number;
  readonly clippedShare?: number;
}

/** Nothing above this is silence, dBFS peak. */
const silenceDb = -75;
/** Returns are found down to about here. */
const lowDb = -55;
/** More of a capture than this at full scale is clipping. */
const clippedShare = 2e-4;
/** More of a capture than this that is no samples at all tells more than the rest. */
const badShare = 2e-4;

/**
 * What was heard in a capture instead of a whole return. A file that ends before its header says is
 * to blame itself: what is missing may hold the return.
 *
 * @param found the search's result, without returns
 * @param info of the capture
 */
export function explainNoReturn(
  found: SearchResult,
  { sampleRate, doubts = [] }: Pick<RecordingInfo, "sampleRate"> & Partial<RecordingInfo>,
): NoReturnExplanation {
  const heard = explainHeard(found, sampleRate);
  const cut = doubts.flatMap((doubt) => {
    if (doubt.code === "samples-cut-short") {
      return [`${doubt.bytes} of the ${doubt.promisedBytes} bytes of samples`];
    }
    return doubt.code === "frames-cut-short"
      ? [`${doubt.frames} of the ${doubt.promisedFrames} sample frames`]
      : [];
  })[0];
  if (cut === undefined) return heard;
  const { words } = heard;
  return {
    words,
    cut,
    hint: cutAdvice,
    blame: "capture",
    reason: `its recording was cut short, ${cut} are there; copy it again from the recorder, or record it again`,
  };
}

/** Doubts that a file was cut short. */
export const cutCodes: readonly DoubtCode[] = ["samples-cut-short", "frames-cut-short"];

/** What to do about a file that ends before its header says. */
export const cutAdvice =
  "Copy the file again from the recorder; if that one is cut short too, record it again.";

/** That a file holds no return, and why: that it was cut short comes before what is left of it. */
export function formatNoReturn(name: string, { words, cut }: NoReturnExplanation): string {
  return cut === undefined
    ? `${name}: no return was found; what was heard is ${words}.`
    : `${name}: was cut short, in recording or in copying: it holds ${cut} that its header promises, and no whole return. What is there is ${words}.`;
}

function explainHeard(found: SearchResult, sampleRate: number): NoReturnExplanation {
  if (found.strange > 0) {
    return {
      words: "markers of another version of the signal",
      hint: "Use the version of deskround that wrote the signal, or write it again with `deskround signal` and record again.",
      blame: "capture",
    };
  }
  if (found.mixed !== undefined) {
    return {
      words: "several outputs at once on one channel",
      hint: "A pass whose outputs play at once needs a recording channel for each path: record them all, unmixed, or write the signal with outputs that take turns (`deskround signal --outputs N --turns`).",
      about: "outputs-mixed",
      blame: "capture",
    };
  }
  const [cut] = found.cuts;
  if (cut === undefined) {
    const heard = loudest(found.heard);
    return explainNoReturnOnChannel(heard);
  }
  const at = `${(cut.atSample / sampleRate).toFixed(1)} s`;
  const words = {
    start: `the end of a return, at ${at}, whose start is missing`,
    middle: `a return that starts at ${at} and ${formatMissingMiddle(describeIncomplete(cut, sampleRate))}`,
    end: `a return that starts at ${at} and was cut off before its end`,
  };
  const { startSample, lengthSamples } = cut;
  if (isInvalidWithin(found.heard[cut.channel].bad, startSample, startSample + lengthSamples)) {
    const spoilt = `${words[cut.missing]}, and some of whose samples are NaN or infinite`;
    return { words: spoilt, hint: invalidAdvice, about: "invalid-samples", blame: "capture" };
  }
  return {
    words: words[cut.missing],
    hint: "Record it again: start recording before the signal plays, stop after its end.",
    blame: "capture",
  };
}

/** What one channel of a capture held instead of the return that others held. */
export function explainNoReturnOnChannel(heard: ChannelLevels): NoReturnExplanation {
  const { rms, peak, atFullScale, frames } = heard;
  if (!(rms > 0)) return describe(heard);
  return {
    ...describe(heard),
    levelDbfs: amplitudeToDb(rms * Math.SQRT2),
    crestDb: amplitudeToDb(peak / rms),
    clippedShare: atFullScale / frames,
  };
}

function loudest(heard: readonly ChannelLevels[]): ChannelLevels {
  return heard.reduce((a, b) => (b.peak > a.peak ? b : a));
}

const askPatch =
  "Was the signal played into the desk, at its own sample rate, while this was recorded? Check patch, level and rate, then record again.";
const askInput =
  "Check which input of the interface was recorded, the patch and the level, then record again.";
/** The noise of a desk and a converter is never nought: a path that passes nothing leaves it. */
const digitalSilence: NoReturnExplanation = {
  words: "digital silence",
  hint: "Nothing was recorded: check that the track was armed and not muted, and which input of the interface it took, then record again.",
  blame: "capture",
  reason:
    "nothing was recorded (digital silence): was the track armed, and the right input chosen? Record it again; if the path did give nothing back, name it with --silent",
};
const turnUp =
  "Turn up the interface's input until a healthy path returns about −18 dBFS, then record again.";
const turnDown =
  "Turn down the interface's input until a healthy path returns about −18 dBFS, then record again.";

function describe({ peak, atFullScale, frames, bad }: ChannelLevels): NoReturnExplanation {
  const badCount = countInvalid(bad);
  if (badCount > badShare * frames) {
    const words = `no sound: ${percentOf(badCount, frames)} of its samples are NaN or infinite, or far beyond full scale`;
    return { words, hint: invalidAdvice, about: "invalid-samples", blame: "capture" };
  }
  if (peak === 0) return digitalSilence;
  const blame = "path";
  const peakDb = amplitudeToDb(peak);
  const level = `${peakDb.toFixed(0).replace("-", "−")} dBFS`;
  if (atFullScale > clippedShare * frames) {
    const words = `a clipped signal, ${percentOf(atFullScale, frames)} of its samples at full scale`;
    return { words, hint: turnDown, blame };
  }
  if (peakDb < silenceDb) {
    return { words: `silence, nothing above ${level}`, hint: askInput, blame };
  }
  if (peakDb < lowDb) {
    return { words: `a level far too low, nothing above ${level}`, hint: turnUp, blame };
  }
  return { words: `sound up to ${level}, but not the signal's markers`, hint: askPatch, blame };
}

function percentOf(part: number, all: number): string {
  const share = (100 * part) / all;
  return `${share < 10 ? share.toFixed(1) : share.toFixed(0)} %`;
}
