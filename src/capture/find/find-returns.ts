import type { Doubt } from "../../doubt.js";
import { getOutput } from "../../signal/outputs.js";
import { countControlWindows } from "../../signal/signal-table.js";
import type { SignalTable } from "../../signal/types.js";
import type { SampleReader } from "../containers/sample-reader.js";
import type { IncompleteReturn, RecordingInfo, SignalReturn } from "../types.js";
import { mergeChannelReturns, splitChannelReturns } from "./channels.js";
import { findIncompleteReturns, type LoneMarker } from "./incomplete-returns.js";
import { listSampleDoubts } from "./invalid-samples.js";
import type { ChannelLevels } from "./level-meter.js";
import { findMarker, locateReturn } from "./locate-return.js";
import { type Marker, pairChirps } from "./markers.js";
import { dropMixedReturns, mixedDoubt } from "./outputs.js";
import { buildReturnTable } from "./return-table.js";
import { type FrameRange, mergeScans, type Scan, scanBlock, splitIntoBlocks } from "./scan.js";

/** All that was found in one capture file. */
export interface SearchResult {
  /** In order of time; simultaneous on several channels is one return. */
  readonly returns: readonly SignalReturn[];
  /** Incomplete returns, in order of time. */
  readonly cuts: readonly IncompleteReturn[];
  /** Chirps like ours but of no known spacing: a signal of another version. */
  readonly strange: number;
  /** Per channel. */
  readonly heard: readonly ChannelLevels[];
  /** Channels on which outputs of a pass overlap, from 0; absent if there are none. */
  readonly mixed?: readonly number[];
  /** If each channel is a path: number of turns with nothing but crosstalk. */
  readonly idleTurns?: number;
  readonly doubts: readonly Doubt[];
}

/** A larger difference means lost or repeated samples, not clocks. */
const mostDriftPpm = 400;
/** With up to this much lost or repeated, it is still one return. */
const mostSlipS = 0.5;

/** Range of the search, and what the channels of the capture are. */
export interface SearchScope {
  /** `sides` of one output, or each the output of one of several `paths`. */
  readonly channels: "sides" | "paths";
  /** The whole capture when absent. */
  readonly range?: FrameRange;
}

/** A start marker and its end marker, on a channel. */
export interface MarkerPair {
  readonly channel: number;
  readonly start: Marker;
  readonly end: Marker;
  /** Number of windows of a controls pass. */
  readonly windows?: number;
}

/** Markers of a capture, paired, before its returns are located to a fraction of a sample. */
export interface PairedMarkers {
  readonly pairs: readonly MarkerPair[];
  readonly lone: readonly LoneMarker[];
  readonly strange: number;
  readonly heard: readonly ChannelLevels[];
  /** Set if the samples do not match the file's own checksum. */
  readonly isAltered?: true;
}

/**
 * Finds every return in a capture by its markers: scans it block by block, pairs the markers and
 * locates each return. The three steps are also exported separately, to be shared among threads.
 *
 * @param reader the capture
 * @param onProgress called now and then with the share done, 0 to 1
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 * findReturns(reader).returns.length; // 1
 * reader.close();
 */
export function findReturns(
  reader: SampleReader,
  onProgress: (share: number) => void = () => {},
  scope: SearchScope = { channels: "sides" },
): SearchResult {
  const whole = scope.range ?? [0, reader.frames];
  const stretches = splitIntoBlocks(whole, reader.info.sampleRate);
  const scans = stretches.map((stretch, k) =>
    scanBlock(reader, stretch, whole, (share) => onProgress((k + share) / stretches.length)),
  );
  const paired = pairMarkers(scans, reader.info.sampleRate);
  const returns = paired.pairs.map((pair) => buildReturn(reader, pair));
  return buildSearchResult(reader.info, paired, returns, scope);
}

/**
 * Pairs each start marker with the end marker of its kind that follows at the signal's length.
 *
 * @param scans of all blocks of a capture, in order
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const whole = [0, reader.frames];
 * const { pairs } = pairMarkers([scanBlock(reader, whole, whole)], reader.info.sampleRate);
 * pairs.map(({ start, end }) => [start.profile, end.which]); // [["quick", "end"]]
 * reader.close();
 */
export function pairMarkers(scans: readonly Scan[], sampleRate: number): PairedMarkers {
  const { chirps, heard, isAltered } = mergeScans(scans, sampleRate);
  const channels = chirps.map((own, channel) => {
    const { markers, strange } = pairChirps(own, sampleRate);
    return { ...pairsOf(markers, channel, sampleRate), strange: strange.length };
  });
  return {
    pairs: channels.flatMap(({ pairs }) => pairs),
    lone: channels.flatMap(({ lone }) => lone),
    strange: channels.reduce((sum, { strange }) => sum + strange, 0),
    heard,
    ...(isAltered ? { isAltered } : {}),
  };
}

/**
 * Builds the result for a capture.
 *
 * @param all the pairs, located, in order
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const none = { pairs: [], lone: [], strange: 0, heard: [] };
 * buildSearchResult(reader.info, none, [], { channels: "sides" }).returns; // []
 * reader.close();
 */
export function buildSearchResult(
  info: RecordingInfo,
  { lone, strange, heard, isAltered }: PairedMarkers,
  all: readonly SignalReturn[],
  { channels }: SearchScope,
): SearchResult {
  const { file, sampleRate } = info;
  const { returns, mixed } = dropMixedReturns(all, lone, sampleRate);
  const bad = [
    ...listSampleDoubts(
      info,
      heard.map((one) => one.bad),
      isAltered,
    ),
    ...(mixed.length > 0 ? [mixedDoubt(info, mixed)] : []),
  ];
  const isMixed = mixed.length > 0 ? { mixed } : {};
  if (channels === "paths") {
    const cuts = Array.from({ length: info.channels }, (_, channel) => {
      const own = ({ channel: c }: { channel: number }) => c === channel;
      return findIncompleteReturns(file, sampleRate, lone.filter(own), all.filter(own));
    });
    const apart = splitChannelReturns(returns, info);
    return {
      ...apart,
      cuts: cuts.flat(),
      strange,
      heard,
      ...isMixed,
      doubts: [...bad, ...apart.doubts],
    };
  }
  const cuts = findIncompleteReturns(file, sampleRate, lone, all);
  const across = mergeChannelReturns(returns, info);
  return { ...across, cuts, strange, heard, ...isMixed, doubts: [...bad, ...across.doubts] };
}

/**
 * Locates a return to a fraction of a sample, and measures its clock; see {@link locateReturn}.
 *
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const whole = [0, reader.frames];
 * const { pairs } = pairMarkers([scanBlock(reader, whole, whole)], reader.info.sampleRate);
 * // The signal begins 0.3 s into the recording, which is 6 dB quieter.
 * Math.round(buildReturn(reader, pairs[0]).startSample); // 13230
 * buildReturn(reader, pairs[0]).gain.toFixed(1); // "0.5"
 * reader.close();
 */
export function buildReturn(reader: SampleReader, pair: MarkerPair): SignalReturn {
  const { channel, start, end, windows } = pair;
  const { sampleRate, file } = reader.info;
  const output = getOutput(start.step, end.step);
  const table = tableOf(start, windows, output);
  const place = locateReturn(reader, channel, start, end, table);
  const slipped = Math.abs(place.driftPpm) > mostDriftPpm;
  const driftPpm = slipped ? 0 : place.driftPpm;
  const first = findMarker(table, "start");
  const startSample = slipped ? start.at - first.startS * sampleRate : place.startSample;
  const lengthSamples = table.lengthS * sampleRate * (1 + driftPpm * 1e-6);
  const slip = Math.round(
    place.driftPpm * 1e-6 * (findMarker(table, "end").startS - first.startS) * sampleRate,
  );
  return {
    file,
    channel,
    startSample,
    lengthSamples,
    driftPpm,
    profile: table.profile,
    band: table.band,
    signalVersion: table.version,
    ...(windows === undefined ? {} : { windows }),
    ...(output === undefined ? {} : { output }),
    inverted: place.gain < 0,
    likeness: Math.min(start.likeness, end.likeness),
    gain: Math.abs(place.gain),
    ...(slipped ? { slipSamples: slip } : {}),
  };
}

function tableOf(
  { profile, version, band }: Marker,
  windows: number | undefined,
  output?: number,
): SignalTable {
  const told = { profile, signalVersion: version, band, ...(output ? { output } : {}) };
  return buildReturnTable({ ...told, ...(windows === undefined ? {} : { windows }) });
}

function pairsOf(
  markers: readonly Marker[],
  channel: number,
  sampleRate: number,
): Pick<PairedMarkers, "pairs" | "lone"> {
  const pairs: MarkerPair[] = [];
  const taken = new Set<Marker>();
  for (const start of markers) {
    if (start.which !== "start") continue;
    let found: MarkerPair | undefined;
    let least = mostSlipS;
    for (const end of markers) {
      if (end.which !== "end" || taken.has(end) || end.at < start.at) continue;
      if (end.profile !== start.profile || end.version !== start.version) continue;
      if (end.band !== start.band) continue;
      const apartS = (end.at - start.at) / sampleRate;
      // The length of a controls pass depends on its number of windows.
      const windows =
        start.profile === "controls" ? countControlWindows(apartS, start.version) : undefined;
      const table = tableOf(start, windows);
      const spanS = findMarker(table, "end").startS - findMarker(table, "start").startS;
      const off = Math.abs(apartS - spanS);
      if (off < least) {
        least = off;
        found = { channel, start, end, ...(windows === undefined ? {} : { windows }) };
      }
      // A controls pass ends at the next end marker.
      if (start.profile === "controls") break;
    }
    if (found) {
      taken.add(found.end).add(start);
      pairs.push(found);
    }
  }
  const lone = markers.filter((marker) => !taken.has(marker));
  return { pairs, lone: lone.map((marker) => ({ channel, marker })) };
}
