import { openSamples } from "../capture/containers/open-samples.js";
import type { SampleReader } from "../capture/containers/sample-reader.js";
import { findReturns, type SearchScope } from "../capture/find/find-returns.js";
import { createLevelMeter } from "../capture/find/level-meter.js";
import { buildReturnTable } from "../capture/find/return-table.js";
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
  /** What played when its recording ended. */
  open: OpenReturn | undefined;
  /** Its end was looked for in the next recording. */
  isJoined: boolean;
  /** Up to here a return of the recording before runs on, sample frames. */
  takenUntil: number;
}

/** So much is looked through in one step, seconds, so that keys are answered in between. */
const mostStepS = 60;

/** @param channelsOf what the channels of a recording are */
export function createHearing(
  channelsOf: (info: RecordingInfo) => SearchScope["channels"],
): Hearing {
  const ears = new Map<string, Ear>();
  /** Whether they are whole the next recording tells. */
  let held: { readonly info: RecordingInfo; readonly cut: IncompleteReturn }[] = [];
  return {
    async listen(recordings) {
      const returns: HeardReturn[] = [];
      const found: { info: RecordingInfo; cut: IncompleteReturn }[] = [];
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
            open: undefined,
            isJoined: false,
            takenUntil: 0,
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
          found.push(...step.cuts.map((cut) => ({ info: reader.info, cut })));
          if (step.open !== undefined || !isEnd) ear.open = step.open;
          now = { ...levelsOf(reader, ear.heardFrames), ...(step.open ? { open: step.open } : {}) };
          ear.heardFrames = until;
          ear.state = isEnd ? "ended" : "growing";
        } finally {
          whole.close();
        }
      }
      returns.push(...(await listenAcross(recordings, ears, channelsOf)));
      // What a return across two recordings left in each of them is no return of its own.
      held.push(...found);
      const cuts = held.filter(({ cut }) => isCertain(cut, recordings, ears));
      held = held.filter((one) => !cuts.includes(one) && !isElsewhere(one.cut, ears));
      return { returns, cuts, ...(now === undefined ? {} : { now }) };
    },
  };
}

/** Whether a return that is not whole runs on from the recording before, or into the next one. */
function isElsewhere(cut: IncompleteReturn, ears: ReadonlyMap<string, Ear>): boolean {
  const ear = ears.get(cut.file);
  if (ear === undefined) return false;
  if (cut.missing === "start") return cut.atSample <= ear.takenUntil;
  return ear.isJoined && ear.open !== undefined && cut.atSample >= ear.open.startSample;
}

/** Whether no next recording can make a return whole any more. */
function isCertain(
  cut: IncompleteReturn,
  recordings: readonly FollowedRecording[],
  ears: ReadonlyMap<string, Ear>,
): boolean {
  if (isElsewhere(cut, ears)) return false;
  const ear = ears.get(cut.file);
  const isOpen = ear?.open !== undefined && !ear.isJoined && cut.atSample >= ear.open.startSample;
  if (cut.missing === "start" || !isOpen) return true;
  const at = recordings.findIndex(({ file }) => file === cut.file);
  return recordings[at + 1]?.info === undefined;
}

/** Recorders go on in a next file at once: what began in one may end in the next. */
async function listenAcross(
  recordings: readonly FollowedRecording[],
  ears: ReadonlyMap<string, Ear>,
  channelsOf: (info: RecordingInfo) => SearchScope["channels"],
): Promise<readonly HeardReturn[]> {
  const heard: HeardReturn[] = [];
  for (const [k, { file, info, state }] of recordings.entries()) {
    const next = recordings[k + 1];
    const ear = ears.get(file);
    const after = next && ears.get(next.file);
    if (info === undefined || next?.info === undefined || ear?.open === undefined) continue;
    if (ear.isJoined || state !== "ended" || after === undefined) continue;
    if (next.info.sampleRate !== info.sampleRate || next.info.channels !== info.channels) continue;
    const { profile, version, band, startSample } = ear.open;
    if (profile === "controls") continue;
    const table = buildReturnTable({ profile, signalVersion: version, band });
    const needed = Math.ceil(startSample + (table.lengthS + joinSlackS) * info.sampleRate);
    const until = Math.min(needed, info.frames + after.heardFrames);
    if (until < needed && next.state !== "ended") continue;
    ear.isJoined = true;
    const joined = { ...info, continuedBy: next.info };
    const reader = await openSamples(joined);
    try {
      const from = Math.max(0, Math.floor(startSample - info.sampleRate));
      const scope = { channels: channelsOf(info), range: [from, until] } as const;
      const across = findReturns(reader, () => {}, scope).returns.filter(
        (one) => one.startSample + one.lengthSamples > info.frames,
      );
      for (const one of across) {
        after.takenUntil = one.startSample + one.lengthSamples + info.sampleRate / 2 - info.frames;
        heard.push({ info: joined, found: { ...one, endsIn: next.file } });
      }
      if (across.length === 0) ear.open = undefined;
    } finally {
      reader.close();
    }
  }
  return heard;
}

/** A clock that runs slower makes a return a little longer, seconds. */
const joinSlackS = 0.02;

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
