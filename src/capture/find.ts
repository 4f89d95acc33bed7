import { windowsOf } from "../signal/profiles.js";
import type { SignalTable } from "../signal/table.js";
import { badWarnings } from "./bad-samples.js";
import { acrossChannels, channelByChannel } from "./channels.js";
import { cutReturns, type LoneMarker } from "./cuts.js";
import type { Heard } from "./hearing.js";
import { locateReturn, markerOf } from "./locate.js";
import { type Marker, pairChirps } from "./markers.js";
import { returnTable } from "./return-table.js";
import type { SampleReader } from "./samples.js";
import { type Scan, type Span, scanStretch, scansTogether, stretchesOf } from "./scan.js";
import type { CutReturn, Return, WavInfo } from "./types.js";

/** All that was found in one capture file. */
export interface Found {
  /** In the order of time; one that was recorded on several channels at once is one return. */
  readonly returns: readonly Return[];
  /** Returns that are not whole, in the order of time. */
  readonly cuts: readonly CutReturn[];
  /** Chirps like ours but of no known spacing: a signal of another version. */
  readonly strange: number;
  /** Per channel. */
  readonly heard: readonly Heard[];
  /** Where each channel is a path: turns in which nothing but crosstalk was heard. */
  readonly idleTurns?: number;
  readonly warnings: readonly string[];
}

/** More clock difference than this is lost or repeated samples, not a clock. */
const mostDriftPpm = 400;
/** Lost or repeated stretches up to this long still belong to one return. */
const mostSlipS = 0.5;

/** Where to look, and what the channels of the capture are. */
export interface SearchScope {
  /** Sides of one output, recorded at once; or each by itself the output of a path. */
  readonly channels: "sides" | "paths";
  /** The whole capture when absent. */
  readonly range?: Span;
}

/** A start marker and the end marker that belongs to it, on a channel. */
export interface Pair {
  readonly channel: number;
  readonly start: Marker;
  readonly end: Marker;
  /** Of a controls pass. */
  readonly windows?: number;
}

/** What the markers of a capture show, before its returns are placed to a fraction of a sample. */
export interface Paired {
  readonly pairs: readonly Pair[];
  readonly lone: readonly LoneMarker[];
  readonly strange: number;
  readonly heard: readonly Heard[];
}

/**
 * Finds every return in a capture by its markers: looks through its stretches, pairs what they show
 * and places each return. The three steps stand apart below for those who share them among threads.
 *
 * @param reader the capture
 * @param onProgress called now and then with the share done, 0 to 1
 */
export function findReturns(
  reader: SampleReader,
  onProgress: (share: number) => void = () => {},
  scope: SearchScope = { channels: "sides" },
): Found {
  const whole = scope.range ?? [0, reader.frames];
  const stretches = stretchesOf(whole, reader.info.sampleRate);
  const scans = stretches.map((stretch, k) =>
    scanStretch(reader, stretch, whole, (share) => onProgress((k + share) / stretches.length)),
  );
  const paired = pairMarkers(scans, reader.info.sampleRate);
  const returns = paired.pairs.map((pair) => placeReturn(reader, pair));
  return foundReturns(reader.info, paired, returns, scope);
}

/**
 * Joins each start marker with the end marker of its kind that follows at the signal's length.
 *
 * @param scans of all stretches of a capture, in their order
 */
export function pairMarkers(scans: readonly Scan[], sampleRate: number): Paired {
  const { chirps, heard } = scansTogether(scans, sampleRate);
  const channels = chirps.map((own, channel) => {
    const { markers, strange } = pairChirps(own, sampleRate);
    return { ...pairsOf(markers, channel, sampleRate), strange: strange.length };
  });
  return {
    pairs: channels.flatMap(({ pairs }) => pairs),
    lone: channels.flatMap(({ lone }) => lone),
    strange: channels.reduce((sum, { strange }) => sum + strange, 0),
    heard,
  };
}

/**
 * Puts together what was found in a capture.
 *
 * @param returns the pairs, placed, in their order
 */
export function foundReturns(
  info: WavInfo,
  { lone, strange, heard }: Paired,
  returns: readonly Return[],
  { channels }: SearchScope,
): Found {
  const { file, sampleRate } = info;
  const bad = badWarnings(
    info,
    heard.map((one) => one.bad),
  );
  if (channels === "paths") {
    const cuts = Array.from({ length: info.channels }, (_, channel) => {
      const own = ({ channel: c }: { channel: number }) => c === channel;
      return cutReturns(file, sampleRate, lone.filter(own), returns.filter(own));
    });
    const apart = channelByChannel(returns, info);
    return {
      ...apart,
      cuts: cuts.flat(),
      strange,
      heard,
      warnings: [...bad, ...apart.warnings],
    };
  }
  const cuts = cutReturns(file, sampleRate, lone, returns);
  const across = acrossChannels(returns, info);
  return { ...across, cuts, strange, heard, warnings: [...bad, ...across.warnings] };
}

/** Places a return to a fraction of a sample, and its clock; see {@link locateReturn}. */
export function placeReturn(reader: SampleReader, pair: Pair): Return {
  const { channel, start, end, windows } = pair;
  const { sampleRate, file } = reader.info;
  const table = tableOf(start, windows);
  const place = locateReturn(reader, channel, start, end, table);
  const slipped = Math.abs(place.driftPpm) > mostDriftPpm;
  const driftPpm = slipped ? 0 : place.driftPpm;
  const first = markerOf(table, "start");
  const startSample = slipped ? start.at - first.startS * sampleRate : place.startSample;
  const lengthSamples = table.lengthS * sampleRate * (1 + driftPpm * 1e-6);
  const slip = Math.round(
    place.driftPpm * 1e-6 * (markerOf(table, "end").startS - first.startS) * sampleRate,
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
    inverted: place.gain < 0,
    likeness: Math.min(start.likeness, end.likeness),
    gain: Math.abs(place.gain),
    ...(slipped ? { slipSamples: slip } : {}),
  };
}

function tableOf({ profile, band }: Marker, windows: number | undefined): SignalTable {
  return returnTable({ profile, band, ...(windows === undefined ? {} : { windows }) });
}

function pairsOf(
  markers: readonly Marker[],
  channel: number,
  sampleRate: number,
): Pick<Paired, "pairs" | "lone"> {
  const pairs: Pair[] = [];
  const taken = new Set<Marker>();
  for (const start of markers) {
    if (start.which !== "start") continue;
    let found: Pair | undefined;
    let least = mostSlipS;
    for (const end of markers) {
      if (end.which !== "end" || taken.has(end) || end.at < start.at) continue;
      if (end.profile !== start.profile || end.band !== start.band) continue;
      const apartS = (end.at - start.at) / sampleRate;
      // A controls pass is as long as its windows are many.
      const windows = start.profile === "controls" ? windowsOf(apartS) : undefined;
      const table = tableOf(start, windows);
      const spanS = markerOf(table, "end").startS - markerOf(table, "start").startS;
      const off = Math.abs(apartS - spanS);
      if (off < least) {
        least = off;
        found = { channel, start, end, ...(windows === undefined ? {} : { windows }) };
      }
      // The next end marker is its own, whatever lies further on.
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
