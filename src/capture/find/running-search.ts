import type { SampleReader } from "../containers/sample-reader.js";
import type { IncompleteReturn, RecordingInfo, SignalReturn } from "../types.js";
import type { Chirp } from "./chirps.js";
import {
  buildReturn,
  buildSearchResult,
  type MarkerPair,
  pairMarkers,
  type SearchScope,
} from "./find-returns.js";
import { findMarker } from "./locate-return.js";
import type { Marker } from "./markers.js";
import { buildReturnTable } from "./return-table.js";
import { mergeScans, type Scan, scanBlock } from "./scan.js";

/** A return that has begun but not ended. */
export interface OpenReturn {
  readonly channel: number;
  readonly profile: Marker["profile"];
  readonly band: Marker["band"];
  readonly version: number;
  /** Position of the signal's first sample, in sample frames. */
  readonly startSample: number;
}

/** Results of a step of a running search. */
export interface SearchStep {
  /** Returns that have ended, in order of time. */
  readonly returns: readonly SignalReturn[];
  /** Returns whose end will not come, or whose beginning is missing. */
  readonly cuts: readonly IncompleteReturn[];
  /** The return in progress, known by its start marker. */
  readonly open: OpenReturn | undefined;
}

/** Finds returns in a growing recording. */
export interface RunningSearch {
  /**
   * Searches the samples added since the previous step. Finds the same as a search of the whole
   * recording, each return as soon as its last sample is there.
   *
   * @param reader the recording as it is now: never shorter than before
   *
   * @param state `ended` if no more samples will come
   */
  advance(reader: SampleReader, state?: "growing" | "ended"): SearchStep;
}

/** Seconds after its beginning when a chirp can be found; ours is 0.15 s long. */
const chirpWholeS = 0.16;
/** Seconds searched again with the next samples: longer than a chirp. */
const againS = 0.25;
/**
 * Seconds; older markers cannot belong to an unfinished return. The longest is a pass of all
 * controls.
 */
const longestS = 3600;
/**
 * Seconds; if its end is this late, a return will not end: more than a recorder loses or repeats.
 */
const lateS = 1;
/** Seconds; markers this close are the same. */
const sameS = 0.05;

/**
 * Creates a search that keeps pace with a recorder. Its memory does not grow with the recording,
 * and the cost of a step depends only on the new samples.
 *
 * @param channels what the channels of the recording are
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 * createRunningSearch("sides").advance(reader, "ended").returns.length; // 1
 * reader.close();
 */
export function createRunningSearch(channels: SearchScope["channels"]): RunningSearch {
  let searched = 0;
  let known: readonly (readonly Chirp[])[] | undefined;
  /** Starts of the returns already reported, sample frames. */
  let told: number[] = [];
  let toldCuts: number[] = [];
  let earlier: readonly SignalReturn[] = [];

  return {
    advance(reader, state = "growing") {
      const { info, frames } = reader;
      const rate = info.sampleRate;
      if (frames > searched) {
        const scan = scanBlock(reader, [searched, frames], [0, frames]);
        const sure = state === "ended" ? frames : frames - chirpWholeS * rate;
        const oldest = frames - longestS * rate;
        known = merge(known, scan, rate, { oldest, sure });
        searched = Math.max(
          searched,
          state === "ended" ? frames : frames - Math.ceil(againS * rate),
        );
        told = told.filter((at) => at > oldest);
        toldCuts = toldCuts.filter((at) => at > oldest);
      }
      if (known === undefined) return { returns: [], cuts: [], open: undefined };
      const { pairs, lone, strange } = pairMarkers([asScan(known)], rate);
      const whole = pairs.filter((pair) => state === "ended" || frames >= endOf(pair, rate));
      const fresh = whole.filter(
        ({ start }) => !told.some((at) => Math.abs(at - start.at) < sameS * rate),
      );
      const heard = silenceOf(info);
      const found = { pairs: fresh, lone: [], strange, heard };
      const placed = fresh.map((pair) => buildReturn(reader, pair));
      earlier = [
        ...earlier.filter(({ startSample }) => startSample > frames - longestS * rate),
        ...placed,
      ];
      // The level of a channel at other times also shows whether it was driven.
      const { returns } =
        placed.length === 0
          ? { returns: [] }
          : buildSearchResult(info, found, channels === "paths" ? earlier : placed, { channels });
      const isFresh = ({ startSample }: SignalReturn) =>
        placed.some((one) => one.startSample === startSample);
      told.push(...fresh.map(({ start }) => start.at));
      const ripe = lone.filter(
        ({ marker }) => state === "ended" || frames > latestEnd(marker, rate) + lateS * rate,
      );
      const spans = pairs.map((pair) => ({
        startSample: pair.start.at,
        lengthSamples: endOf(pair, rate) - pair.start.at,
      }));
      const cuts = buildSearchResult(
        info,
        {
          pairs: [],
          lone: ripe.filter(({ marker }) => !spans.some((span) => isWithin(marker, span, rate))),
          strange,
          heard,
        },
        [],
        { channels },
      ).cuts.filter(
        ({ atSample }) => !toldCuts.some((at) => Math.abs(at - atSample) < sameS * rate),
      );
      toldCuts.push(...cuts.map(({ atSample }) => atSample));
      const begun = lone.filter(
        ({ marker }) =>
          marker.which === "start" && frames <= latestEnd(marker, rate) + lateS * rate,
      );
      const [now] = [
        ...pairs
          .filter((pair) => !whole.includes(pair))
          .map(({ channel, start }) => ({ channel, marker: start })),
        ...begun,
      ].sort((a, b) => b.marker.at - a.marker.at);
      return {
        returns: returns.filter(isFresh),
        cuts,
        open: now && openReturn(now.channel, now.marker, rate),
      };
    },
  };
}

/** Merges known and new results; what is not certain yet comes again with the next step. */
function merge(
  known: readonly (readonly Chirp[])[] | undefined,
  scan: Scan,
  sampleRate: number,
  { oldest, sure }: { readonly oldest: number; readonly sure: number },
): readonly (readonly Chirp[])[] {
  const fresh = { ...scan, chirps: scan.chirps.map((own) => own.filter(({ at }) => at <= sure)) };
  const before = known === undefined ? [] : [{ ...fresh, chirps: known }];
  const { chirps } = mergeScans([...before, fresh], sampleRate);
  return chirps.map((own) => own.filter(({ at }) => at >= oldest));
}

function asScan(chirps: readonly (readonly Chirp[])[]): Scan {
  return { chirps, heard: chirps.map(() => nothingHeard) };
}

const nothingHeard = { frames: 0, peak: 0, rms: 0, atFullScale: 0, bad: [] };

function silenceOf({ channels }: RecordingInfo) {
  return Array.from({ length: channels }, () => nothingHeard);
}

/** End of the signal of a pair, sample frames. */
function endOf({ start, end, windows }: MarkerPair, sampleRate: number): number {
  const { profile, version, band } = start;
  const table = buildReturnTable({
    profile,
    signalVersion: version,
    band,
    ...(windows === undefined ? {} : { windows }),
  });
  return Math.ceil(end.at + (table.lengthS - findMarker(table, "end").startS) * sampleRate);
}

/** Latest possible end of the signal of a lone marker. */
function latestEnd({ at, which, profile, version, band }: Marker, sampleRate: number): number {
  if (which === "end") return at;
  // A controls pass is as long as its windows are many.
  if (profile === "controls") return at + longestS * sampleRate;
  const table = buildReturnTable({ profile, signalVersion: version, band });
  return at + (table.lengthS - findMarker(table, "start").startS) * sampleRate;
}

function isWithin(
  { at }: Marker,
  { startSample, lengthSamples }: { readonly startSample: number; readonly lengthSamples: number },
  sampleRate: number,
): boolean {
  const near = sameS * sampleRate;
  return at > startSample - near && at < startSample + lengthSamples + near;
}

function openReturn(
  channel: number,
  { at, profile, version, band }: Marker,
  sampleRate: number,
): OpenReturn {
  const windows = profile === "controls" ? { windows: 1 } : {};
  const table = buildReturnTable({ profile, signalVersion: version, band, ...windows });
  const startSample = at - findMarker(table, "start").startS * sampleRate;
  return { channel, profile, band, version, startSample };
}
