import type { SearchResult } from "../../capture/find/find-returns.js";
import { countInvalid, isInvalidWithin } from "../../capture/find/invalid-samples.js";
import type { ChannelLevels } from "../../capture/find/level-meter.js";
import type { RecordingInfo } from "../../capture/types.js";
import type { Doubt } from "../../doubt.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import type { CutShort, Heard } from "../../not-measured.js";
import { describeIncomplete } from "./describe-incomplete.js";

/** Why a capture holds no whole return, as data: `report/not-measured` has the words. */
export interface NoReturn {
  readonly heard: Heard;
  /** Set if the file ends before its header says: the missing part may hold the return. */
  readonly cut?: CutShort;
  /** Whether the path may be to blame, or only how it was recorded. */
  readonly blame: "path" | "capture";
  /** R.m.s. of the whole capture, 0 for a full-scale sine; absent for digital silence. */
  readonly levelDbfs?: number;
  /** Peak over r.m.s., decibels, and the share of samples at full scale; absent as above. */
  readonly crestDb?: number;
  readonly clippedShare?: number;
}

/** dBFS peak; silence is below this. */
const silenceDb = -75;
/** Returns are found down to about here. */
const lowDb = -55;
/** More of a capture than this at full scale is clipping. */
const clippedShare = 2e-4;
/** If a larger share of samples is invalid, that is reported. */
const badShare = 2e-4;

/**
 * What was heard in a capture instead of a whole return. If the file ends before its header says,
 * the file is to blame.
 *
 * @param found the search's result, without returns
 * @param info of the capture
 */
export function explainNoReturn(
  found: SearchResult,
  { sampleRate, doubts }: Pick<RecordingInfo, "sampleRate" | "doubts">,
): NoReturn {
  const explained = explainHeard(found, sampleRate);
  const cut = findCutShort(doubts);
  return cut === undefined ? explained : { heard: explained.heard, cut, blame: "capture" };
}

/** How much there is of a file that is cut short; undefined for any other. */
export function findCutShort(doubts: readonly Doubt[]): CutShort | undefined {
  return doubts.flatMap(listCut)[0];
}

function listCut(doubt: Doubt): readonly CutShort[] {
  if (doubt.code === "samples-cut-short") {
    return [{ there: doubt.bytes, promised: doubt.promisedBytes, unit: "bytes" }];
  }
  return doubt.code === "frames-cut-short"
    ? [{ there: doubt.frames, promised: doubt.promisedFrames, unit: "frames" }]
    : [];
}

function explainHeard(found: SearchResult, sampleRate: number): NoReturn {
  if (found.strange > 0) return { heard: { code: "other-version" }, blame: "capture" };
  if (found.mixed !== undefined) return { heard: { code: "outputs-mixed" }, blame: "capture" };
  const [cut] = found.cuts;
  if (cut === undefined) return explainNoReturnOnChannel(loudest(found.heard));
  const part = describeIncomplete(cut, sampleRate);
  const { startSample, lengthSamples } = cut;
  const bad = found.heard[cut.channel].bad;
  const isInvalid = isInvalidWithin(bad, startSample, startSample + lengthSamples);
  return {
    heard: { code: "incomplete", part, ...(isInvalid ? { isInvalid } : {}) },
    blame: "capture",
  };
}

/** What one channel of a capture holds instead of the return that others have. */
export function explainNoReturnOnChannel(levels: ChannelLevels): NoReturn {
  const { rms, peak, atFullScale, frames } = levels;
  const heard = describe(levels);
  // Noise of desk and converter is never zero: even a path that passes nothing has it.
  const isFile = heard.code === "digital-silence" || heard.code === "invalid-samples";
  const blame = isFile ? "capture" : "path";
  if (!(rms > 0)) return { heard, blame };
  return {
    heard,
    blame,
    levelDbfs: amplitudeToDb(rms * Math.SQRT2),
    crestDb: amplitudeToDb(peak / rms),
    clippedShare: atFullScale / frames,
  };
}

function loudest(heard: readonly ChannelLevels[]): ChannelLevels {
  return heard.reduce((a, b) => (b.peak > a.peak ? b : a));
}

function describe({ peak, atFullScale, frames, bad }: ChannelLevels): Heard {
  const badCount = countInvalid(bad);
  if (badCount > badShare * frames) return { code: "invalid-samples", share: badCount / frames };
  if (peak === 0) return { code: "digital-silence" };
  if (atFullScale > clippedShare * frames) {
    return { code: "clipped", share: atFullScale / frames };
  }
  const peakDbfs = amplitudeToDb(peak);
  if (peakDbfs < silenceDb) return { code: "silence", peakDbfs };
  return { code: peakDbfs < lowDb ? "too-low" : "no-markers", peakDbfs };
}
