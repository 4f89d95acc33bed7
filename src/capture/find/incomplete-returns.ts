import { buildSignalTable } from "../../signal/signal-table.js";
import type { IncompleteReturn, SignalReturn } from "../types.js";
import { findMarker } from "./locate-return.js";
import type { Marker } from "./markers.js";

/** A marker of one channel whose partner was not found. */
export interface LoneMarker {
  readonly channel: number;
  readonly marker: Marker;
}

/** Seconds; markers this close in time on several channels are one. */
const togetherS = 0.05;

/**
 * Makes incomplete returns from markers without a partner. Simultaneous markers on several channels
 * are one return; one that is complete on another channel does not count; a start marker followed
 * by an end marker of its kind is one return that lost or repeated more than a dropout.
 *
 * @param file the capture
 * @param lone of all channels
 * @param whole complete returns of all channels
 *
 * @returns in order of time
 * @example
 * const marker = { at: 48_000, which: "start", profile: "quick", version: 1, band: "base", step: 0 };
 * const [cut] = findIncompleteReturns("a.wav", 48_000, [{ channel: 0, marker }], []);
 * cut.missing; // "end"
 * cut.atSample; // 48000
 */
export function findIncompleteReturns(
  file: string,
  sampleRate: number,
  lone: readonly LoneMarker[],
  whole: readonly SignalReturn[],
): readonly IncompleteReturn[] {
  const near = togetherS * sampleRate;
  const inWhole = ({ at }: Marker) =>
    whole.some(
      ({ startSample, lengthSamples }) =>
        at > startSample - near && at < startSample + lengthSamples + near,
    );
  const cuts = lone
    .filter(({ marker }) => !inWhole(marker))
    .map((one) => cutReturn(file, sampleRate, one))
    .sort((a, b) => a.atSample - b.atSample);
  const kept: IncompleteReturn[] = [];
  for (const cut of cuts) {
    const last = kept.at(-1);
    if (last === undefined || !isSame(last, cut, near)) kept.push(cut);
    else if (last.missing === "end" && cut.missing === "start") {
      const slipSamples = cut.startSample - last.startSample;
      kept[kept.length - 1] = { ...last, missing: "middle", slipSamples };
    }
  }
  return kept;
}

function cutReturn(
  file: string,
  sampleRate: number,
  { channel, marker }: LoneMarker,
): IncompleteReturn {
  const { profile, version, band, which, at } = marker;
  const table = buildSignalTable(profile, band, undefined, version);
  return {
    file,
    channel,
    startSample: Math.round(at - findMarker(table, which).startS * sampleRate),
    lengthSamples: Math.round(table.lengthS * sampleRate),
    driftPpm: 0,
    profile,
    signalVersion: version,
    band,
    missing: which === "start" ? "end" : "start",
    atSample: Math.round(at),
  };
}

/** Whether a lone marker belongs to the same return as those before it. */
function isSame(one: IncompleteReturn, next: IncompleteReturn, near: number): boolean {
  const apart = next.atSample - one.atSample;
  if (one.missing === next.missing) return apart < near;
  if (one.profile !== next.profile || one.signalVersion !== next.signalVersion) return false;
  if (one.band !== next.band) return false;
  if (next.missing !== "start") return false;
  // Its end marker is known: only the same marker on another channel also belongs to it.
  const { slipSamples } = one;
  if (slipSamples !== undefined) {
    return Math.abs(next.startSample - one.startSample - slipSamples) < near;
  }
  return apart < 1.5 * one.lengthSamples;
}
