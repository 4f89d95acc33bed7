import { windowsOf } from "../signal/profiles.js";
import type { SignalTable } from "../signal/table.js";
import { acrossChannels, channelByChannel } from "./channels.js";
import { cutReturns, type LoneMarker } from "./cuts.js";
import { locateReturn, markerOf } from "./locate.js";
import { type Heard, type Marker, markerSearch } from "./markers.js";
import { returnTable } from "./return-table.js";
import type { SampleReader } from "./samples.js";
import type { CutReturn, Return } from "./types.js";

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
  readonly warnings: readonly string[];
}

/** More clock difference than this is lost or repeated samples, not a clock. */
const mostDriftPpm = 400;
/** Lost or repeated stretches up to this long still belong to one return. */
const mostSlipS = 0.5;

const blockFrames = 65_536;
/** Progress is told in steps of this share. */
const tellEvery = 0.02;

/** Where to look, and what the channels of the capture are. */
export interface SearchScope {
  /** Sides of one output, recorded at once; or each by itself the output of a path. */
  readonly channels: "sides" | "paths";
  /** First sample frame, and the one after the last; the whole capture when absent. */
  readonly range?: readonly [number, number];
}

/**
 * Finds every return in a capture by its markers.
 *
 * @param reader the capture
 * @param onProgress called now and then with the share done, 0 to 1
 */
export function findReturns(
  reader: SampleReader,
  onProgress?: (share: number) => void,
  scope: SearchScope = { channels: "sides" },
): Found {
  const { sampleRate, channels, file } = reader.info;
  const [from, frames] = scope.range ?? [0, reader.frames];
  const searches = Array.from({ length: channels }, () => markerSearch(sampleRate));
  const block = new Float64Array(blockFrames);
  let told = 0;
  for (let at = from; at < frames; at += blockFrames) {
    for (let channel = 0; channel < channels; channel++) {
      const count = reader.read(at, Math.min(blockFrames, frames - at), channel, block);
      searches[channel].push(block, count);
    }
    const share = Math.min(1, (at + blockFrames - from) / (frames - from));
    if (share - told >= tellEvery || share === 1) {
      onProgress?.(share);
      told = share;
    }
  }

  const heard: Heard[] = [];
  const returns: Return[] = [];
  const lone: LoneMarker[] = [];
  let strange = 0;
  searches.forEach((search, channel) => {
    const scan = search.finish();
    heard.push(scan.heard);
    strange += scan.strange.length;
    const markers = scan.markers.map((marker) => ({ ...marker, at: marker.at + from }));
    const paired = pairMarkers(markers, sampleRate);
    for (const pair of paired.whole) {
      returns.push(describe(reader, channel, pair));
    }
    lone.push(...paired.lone.map((marker) => ({ channel, marker })));
  });
  if (scope.channels === "paths") {
    const cuts = Array.from({ length: channels }, (_, channel) => {
      const own = ({ channel: c }: { channel: number }) => c === channel;
      return cutReturns(file, sampleRate, lone.filter(own), returns.filter(own));
    });
    return {
      returns: channelByChannel(returns, reader.info),
      cuts: cuts.flat(),
      strange,
      heard,
      warnings: [],
    };
  }
  const cuts = cutReturns(file, sampleRate, lone, returns);
  return { ...acrossChannels(returns, reader.info), cuts, strange, heard };
}

function describe(
  reader: SampleReader,
  channel: number,
  { start, end, table, windows }: Pair,
): Return {
  const { sampleRate, file } = reader.info;
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

/** A start marker and the end marker that belongs to it. */
interface Pair {
  readonly start: Marker;
  readonly end: Marker;
  readonly table: SignalTable;
  /** Of a controls pass. */
  readonly windows?: number;
}

interface Pairing {
  readonly whole: Pair[];
  readonly lone: readonly Marker[];
}

/** Joins each start marker with the end marker of its kind that follows at the signal's length. */
function pairMarkers(markers: readonly Marker[], sampleRate: number): Pairing {
  const whole: Pairing["whole"] = [];
  const taken = new Set<Marker>();
  for (const start of markers) {
    if (start.which !== "start") continue;
    const kind = { profile: start.profile, band: start.band };
    let found: Pair | undefined;
    let least = mostSlipS;
    for (const end of markers) {
      if (end.which !== "end" || taken.has(end) || end.at < start.at) continue;
      if (end.profile !== start.profile || end.band !== start.band) continue;
      const apartS = (end.at - start.at) / sampleRate;
      // A controls pass is as long as its windows are many.
      const told = kind.profile === "controls" ? { windows: windowsOf(apartS) } : {};
      const table = returnTable({ ...kind, ...told });
      const spanS = markerOf(table, "end").startS - markerOf(table, "start").startS;
      const off = Math.abs(apartS - spanS);
      if (off < least) {
        least = off;
        found = { start, end, table, ...told };
      }
      // The next end marker is its own, whatever lies further on.
      if (kind.profile === "controls") break;
    }
    if (found) {
      taken.add(found.end).add(start);
      whole.push(found);
    }
  }
  return { whole, lone: markers.filter((marker) => !taken.has(marker)) };
}
