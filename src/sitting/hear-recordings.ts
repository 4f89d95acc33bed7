import { openSamples } from "../capture/containers/open-samples.js";
import type { SampleReader } from "../capture/containers/sample-reader.js";
import { findReturns, type SearchScope } from "../capture/find/find-returns.js";
import {
  type ChannelLevels,
  createLevelMeter,
  mergeChannelLevels,
} from "../capture/find/level-meter.js";
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

/** A return that has ended, with the recording as it was then. */
export interface HeardReturn {
  readonly info: RecordingInfo;
  readonly found: SignalReturn;
}

/** What is being recorded at this moment. */
export interface HeardNow {
  readonly file: string;
  readonly sampleRate: number;
  /** Seconds of the recording so far. */
  readonly atS: number;
  /** Peak of the loudest channel since the last look, dBFS; −∞ for digital silence. */
  readonly peakDbfs: number;
  readonly rmsDbfs: number;
  /** Samples at full scale since the last look. */
  readonly atFullScale: number;
  /** The return that is playing. */
  readonly open?: OpenReturn;
}

/** A recording that has ended, and in which nothing of the signal was found. */
export interface EmptyRecording {
  readonly file: string;
  readonly heard: ChannelLevels;
}

export interface HearingStep {
  readonly returns: readonly HeardReturn[];
  readonly empty: readonly EmptyRecording[];
  readonly cuts: readonly { readonly info: RecordingInfo; readonly cut: IncompleteReturn }[];
  /** Absent if nothing new has been recorded. */
  readonly now?: HeardNow;
}

/** Listens to recordings that grow. */
export interface Hearing {
  listen(recordings: readonly FollowedRecording[]): Promise<HearingStep>;
}

interface Ear {
  /** What the recording is called now. */
  file: string;
  version: number;
  search: RunningSearch;
  heardFrames: number;
  /** Its length at the last look, including zeros that a recorder may still fill. */
  seenFrames: number;
  state: FollowedRecording["state"];
  /** The return that was playing when its recording ended. */
  open: OpenReturn | undefined;
  /** Its end was looked for in the next recording. */
  isJoined: boolean;
  /** Up to this frame, a return of the previous recording continues. */
  takenUntil: number;
  /** Whether anything of the signal was found in it, whole or not. */
  hasSignal: boolean;
  /** Levels of everything recorded, the loudest channel. */
  heard: ChannelLevels;
}

/** How much is searched in one step, seconds, so that keys are answered in between. */
const mostStepS = 60;

/** @param channelsOf what the channels of a recording are */
export function createHearing(
  channelsOf: (info: RecordingInfo) => SearchScope["channels"],
): Hearing {
  /** By the recording's number, so that a new name changes nothing. */
  const ears = new Map<number, Ear>();
  /** The next recording shows whether they are complete. */
  let held: { readonly info: RecordingInfo; readonly cut: IncompleteReturn }[] = [];
  return {
    async listen(recordings) {
      const returns: HeardReturn[] = [];
      const found: { info: RecordingInfo; cut: IncompleteReturn }[] = [];
      let now: HeardNow | undefined;
      const empty: EmptyRecording[] = [];
      for (const { id, file, info, version, state } of recordings) {
        const known = ears.get(id);
        if (known !== undefined && known.file !== file) {
          held = held.map((one) => rename(one, known.file, file));
          known.file = file;
        }
        if (info === undefined) continue;
        let ear = known;
        if (ear === undefined || ear.version !== version) {
          ear = {
            file,
            version,
            search: createRunningSearch(channelsOf(info)),
            heardFrames: 0,
            seenFrames: 0,
            state: "growing",
            open: undefined,
            isJoined: false,
            takenUntil: 0,
            hasSignal: false,
            heard: noSound,
          };
          ears.set(id, ear);
        }
        if (info.frames <= ear.heardFrames && (state === ear.state || info.frames === 0)) continue;
        const whole = await openSamples(info);
        try {
          const written =
            state === "ended" ? info.frames : countWrittenFrames(whole, ear.heardFrames);
          const until = Math.min(written, ear.heardFrames + mostStepS * info.sampleRate);
          const hasGrown = info.frames > ear.seenFrames;
          ear.seenFrames = info.frames;
          if (until <= ear.heardFrames && state === ear.state) {
            if (hasGrown)
              now = { ...nowOf(whole, noSound), ...(ear.open ? { open: ear.open } : {}) };
            continue;
          }
          const isEnd = state === "ended" && until === info.frames;
          const reader = shortened(whole, until);
          const step = ear.search.advance(reader, isEnd ? "ended" : "growing");
          returns.push(...step.returns.map((found) => ({ info: reader.info, found })));
          found.push(...step.cuts.map((cut) => ({ info: reader.info, cut })));
          if (step.open !== undefined || !isEnd) ear.open = step.open;
          const levels = measureLevels(reader, ear.heardFrames);
          now = { ...nowOf(reader, levels), ...(step.open ? { open: step.open } : {}) };
          ear.heard = mergeChannelLevels([ear.heard, levels], info.sampleRate);
          ear.hasSignal ||= step.returns.length + step.cuts.length > 0 || step.open !== undefined;
          ear.heardFrames = until;
          ear.state = isEnd ? "ended" : "growing";
          if (isEnd && !ear.hasSignal) empty.push({ file, heard: ear.heard });
        } finally {
          whole.close();
        }
      }
      returns.push(...(await listenAcross(recordings, ears, channelsOf)));
      // The parts of a return across two recordings are not returns of their own.
      held.push(...found);
      const cuts = held.filter(({ cut }) => isCertain(cut, recordings, ears));
      held = held.filter((one) => !cuts.includes(one) && !isElsewhere(one.cut, ears));
      return {
        returns,
        cuts,
        // A recording into which a return of the previous one continues is not empty.
        empty: empty.filter(({ file }) => (findEar(ears, file)?.takenUntil ?? 0) === 0),
        ...(now === undefined ? {} : { now }),
      };
    },
  };
}

function findEar(ears: ReadonlyMap<number, Ear>, file: string): Ear | undefined {
  return [...ears.values()].find((ear) => ear.file === file);
}

function rename(
  one: { readonly info: RecordingInfo; readonly cut: IncompleteReturn },
  from: string,
  file: string,
) {
  if (one.cut.file !== from) return one;
  return { info: { ...one.info, file }, cut: { ...one.cut, file } };
}

/** Whether an incomplete return continues from the previous recording, or into the next one. */
function isElsewhere(cut: IncompleteReturn, ears: ReadonlyMap<number, Ear>): boolean {
  const ear = findEar(ears, cut.file);
  if (ear === undefined) return false;
  if (cut.missing === "start") return cut.atSample <= ear.takenUntil;
  return ear.isJoined && ear.open !== undefined && cut.atSample >= ear.open.startSample;
}

/** Whether no further recording can complete a return. */
function isCertain(
  cut: IncompleteReturn,
  recordings: readonly FollowedRecording[],
  ears: ReadonlyMap<number, Ear>,
): boolean {
  if (isElsewhere(cut, ears)) return false;
  const ear = findEar(ears, cut.file);
  const isOpen = ear?.open !== undefined && !ear.isJoined && cut.atSample >= ear.open.startSample;
  if (cut.missing === "start" || !isOpen) return true;
  const at = recordings.findIndex(({ file }) => file === cut.file);
  return recordings[at + 1]?.info === undefined;
}

/** Recorders continue in a new file at once: what starts in one may end in the next. */
async function listenAcross(
  recordings: readonly FollowedRecording[],
  ears: ReadonlyMap<number, Ear>,
  channelsOf: (info: RecordingInfo) => SearchScope["channels"],
): Promise<readonly HeardReturn[]> {
  const heard: HeardReturn[] = [];
  for (const [k, { id, info, state }] of recordings.entries()) {
    const next = recordings[k + 1];
    const ear = ears.get(id);
    const after = next && ears.get(next.id);
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

/** Allowance for a slower clock, which makes a return a little longer, seconds. */
const joinSlackS = 0.02;

/** The recording as if it ended here. */
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
const noSound: ChannelLevels = { frames: 0, peak: 0, rms: 0, atFullScale: 0, bad: [] };

/** Levels of what came from a frame on: the loudest channel. */
function measureLevels(reader: SampleReader, from: number): ChannelLevels {
  let loudest: ChannelLevels | undefined;
  for (let channel = 0; channel < reader.info.channels; channel++) {
    const meter = createLevelMeter();
    for (let at = from; at < reader.frames; at += block.length) {
      const count = reader.read(at, Math.min(block.length, reader.frames - at), channel, block);
      meter.push(block, 0, count);
    }
    // Positions of invalid samples are dropped, so that memory does not grow with the recording.
    const heard = { ...meter.heard(), bad: [] };
    if (loudest === undefined || heard.peak > loudest.peak) loudest = heard;
  }
  return loudest ?? noSound;
}

function nowOf(
  { info: { file, sampleRate }, frames }: SampleReader,
  { peak, rms, atFullScale }: ChannelLevels,
): HeardNow {
  return {
    file,
    sampleRate,
    atS: frames / sampleRate,
    peakDbfs: amplitudeToDb(peak),
    rmsDbfs: amplitudeToDb(rms * Math.SQRT2),
    atFullScale,
  };
}
