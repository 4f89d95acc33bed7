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

/** A return that has begun and not ended. */
export interface OpenReturn {
  readonly channel: number;
  readonly profile: Marker["profile"];
  readonly band: Marker["band"];
  readonly version: number;
  /** Where the signal's first sample falls, in sample frames. */
  readonly startSample: number;
}

/** What a step of a running search brought to light. */
export interface SearchStep {
  /** Returns that have come to their end, in the order of time. */
  readonly returns: readonly SignalReturn[];
  /** Returns that will not come to their end any more, or whose beginning is not there. */
  readonly cuts: readonly IncompleteReturn[];
  /** What plays now, as far as its start marker shows. */
  readonly open: OpenReturn | undefined;
}

/** Looks for returns in a recording that grows. */
export interface RunningSearch {
  /**
   * Looks through what has come since the step before; what is found is what a search of the whole
   * recording finds, each return as soon as its last sample is there.
   *
   * @param reader the recording as it is now: never shorter than before
   * @param state `ended` where no more samples will come
   */
  advance(reader: SampleReader, state?: "growing" | "ended"): SearchStep;
}

/** A chirp is seen whole when so much has come after its beginning, seconds; ours is 0.15 s long. */
const chirpWholeS = 0.16;
/** What is looked at again with the next samples, seconds: longer than a chirp. */
const againS = 0.25;
/** Markers further back belong to no return that can still end, seconds: a pass of all controls. */
const longestS = 3600;
/** A return whose end is this late will not come, seconds: more than a recorder loses or repeats. */
const lateS = 1;
/** Two markers are one when they are this near, seconds. */
const sameS = 0.05;

/**
 * Makes a search that keeps pace with a recorder. Its memory does not grow with the recording, and a
 * step costs what the new samples cost.
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
      // What a channel gave at other times also shows whether it was driven.
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

/** Joins what was known with what is new; what is not sure yet comes again with the next step. */
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

/** Where the signal of a pair ends, sample frames. */
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

/** Where the signal of a lone marker ends at the latest. */
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
