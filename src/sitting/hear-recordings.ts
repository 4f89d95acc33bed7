import { openSamples } from "../capture/containers/open-samples.js";
import type { SampleReader } from "../capture/containers/sample-reader.js";
import type { SearchScope } from "../capture/find/find-returns.js";
import { createLevelMeter } from "../capture/find/level-meter.js";
import {
  createRunningSearch,
  type OpenReturn,
  type RunningSearch,
} from "../capture/find/running-search.js";
import type { IncompleteReturn, RecordingInfo, SignalReturn } from "../capture/types.js";
import { amplitudeToDb } from "../dsp/decibels.js";
import { countWrittenFrames } from "./follow/count-written-frames.js";
import type { FollowedRecording } from "./follow/follow-recordings.js";

/** A return that has come to its end, with the recording as it was then. */
export interface HeardReturn {
  readonly info: RecordingInfo;
  readonly found: SignalReturn;
}

/** What is heard at this moment. */
export interface HeardNow {
  readonly file: string;
  readonly sampleRate: number;
  /** Seconds of the recording so far. */
  readonly atS: number;
  /** Loudest channel over what came since the last look, dBFS; −∞ for digital silence. */
  readonly peakDbfs: number;
  readonly rmsDbfs: number;
  /** Samples at full scale since the last look. */
  readonly atFullScale: number;
  /** The return that plays. */
  readonly open?: OpenReturn;
}

export interface HearingStep {
  readonly returns: readonly HeardReturn[];
  readonly cuts: readonly { readonly info: RecordingInfo; readonly cut: IncompleteReturn }[];
  /** Absent where nothing new has come. */
  readonly now?: HeardNow;
}

/** Listens to recordings that grow. */
export interface Hearing {
  listen(recordings: readonly FollowedRecording[]): Promise<HearingStep>;
}

interface Ear {
  version: number;
  search: RunningSearch;
  heardFrames: number;
  state: FollowedRecording["state"];
}

/** So much is looked through in one step, seconds, so that keys are answered in between. */
const mostStepS = 60;

/** @param channelsOf what the channels of a recording are */
export function createHearing(
  channelsOf: (info: RecordingInfo) => SearchScope["channels"],
): Hearing {
  const ears = new Map<string, Ear>();
  return {
    async listen(recordings) {
      const returns: HeardReturn[] = [];
      const cuts: { info: RecordingInfo; cut: IncompleteReturn }[] = [];
      let now: HeardNow | undefined;
      for (const { file, info, version, state } of recordings) {
        if (info === undefined) continue;
        let ear = ears.get(file);
        if (ear === undefined || ear.version !== version) {
          ear = {
            version,
            search: createRunningSearch(channelsOf(info)),
            heardFrames: 0,
            state: "growing",
          };
          ears.set(file, ear);
        }
        if (info.frames <= ear.heardFrames && (state === ear.state || info.frames === 0)) continue;
        const whole = await openSamples(info);
        try {
          const written =
            state === "ended" ? info.frames : countWrittenFrames(whole, ear.heardFrames);
          const until = Math.min(written, ear.heardFrames + mostStepS * info.sampleRate);
          if (until <= ear.heardFrames && state === ear.state) continue;
          const isEnd = state === "ended" && until === info.frames;
          const reader = shortened(whole, until);
          const step = ear.search.advance(reader, isEnd ? "ended" : "growing");
          returns.push(...step.returns.map((found) => ({ info: reader.info, found })));
          cuts.push(...step.cuts.map((cut) => ({ info: reader.info, cut })));
          now = { ...levelsOf(reader, ear.heardFrames), ...(step.open ? { open: step.open } : {}) };
          ear.heardFrames = until;
          ear.state = isEnd ? "ended" : "growing";
        } finally {
          whole.close();
        }
      }
      return { returns, cuts, ...(now === undefined ? {} : { now }) };
    },
  };
}

/** The recording as though it ended here. */
function shortened(reader: SampleReader, frames: number): SampleReader {
  if (frames === reader.frames) return reader;
  return {
    info: { ...reader.info, frames },
    frames,
    get badSamples() {
      return reader.badSamples;
    },
    read: (first, count, channel, out) =>
      reader.read(first, Math.max(0, Math.min(count, frames - first)), channel, out),
    close: () => reader.close(),
  };
}

const block = new Float64Array(65_536);

function levelsOf(reader: SampleReader, from: number): HeardNow {
  const { file, sampleRate, channels } = reader.info;
  let peak = 0;
  let rms = 0;
  let atFullScale = 0;
  const first = Math.max(from, reader.frames - sampleRate);
  for (let channel = 0; channel < channels; channel++) {
    const meter = createLevelMeter();
    for (let at = first; at < reader.frames; at += block.length) {
      const count = reader.read(at, Math.min(block.length, reader.frames - at), channel, block);
      meter.push(block, 0, count);
    }
    const heard = meter.heard();
    peak = Math.max(peak, heard.peak);
    rms = Math.max(rms, heard.rms);
    atFullScale += heard.atFullScale;
  }
  return {
    file,
    sampleRate,
    atS: reader.frames / sampleRate,
    peakDbfs: amplitudeToDb(peak),
    rmsDbfs: amplitudeToDb(rms * Math.SQRT2),
    atFullScale,
  };
}
