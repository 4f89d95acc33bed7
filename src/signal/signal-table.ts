import { defaultControls } from "../desk/controls.js";
import { buildMoves } from "./moves.js";
import { computeControlsSpan } from "./profiles/controls-span.js";
import { findSignalProfile } from "./profiles/signal-profiles.js";
import { computeSpacing, round, TableBuilder } from "./profiles/table-builder.js";
import type { SignalProfile } from "./profiles/types.js";
import type { Move, Profile, SignalBand, SignalTable } from "./types.js";

export { bands, nominalDbfs, sweepEdges } from "./profiles/constants.js";
export { findSignalProfile, signalProfiles } from "./profiles/signal-profiles.js";

/**
 * The version of a profile that is written now.
 *
 * @example
 * getProfileVersion("standard"); // 1
 */
export function getProfileVersion(profile: Profile): number {
  return getRow(profile).version;
}

export const profiles: readonly Profile[] = ["quick", "standard", "full", "controls"];

/** Sample rates at which the signal is written; AES5 and its multiples. */
export const sampleRates: readonly number[] = [44100, 48000, 88200, 96000, 176400, 192000];

/** One chirp of a marker. */
export const chirp = { fromHz: 500, toHz: 10_000, lengthS: 0.15 } as const;

/** Raised-cosine flanks of every tone; long enough that no click spreads into the bands measured. */
export const toneFadeS = 0.01;

/**
 * The band of a signal at this sample rate.
 *
 * @example
 * chooseBand(48000); // "base"
 * chooseBand(96000); // "wide"
 */
export function chooseBand(sampleRate: number): SignalBand {
  return sampleRate >= 88_200 ? "wide" : "base";
}

/**
 * Spacing of a marker's two chirps for a kind of signal, seconds.
 *
 * @param version of the profile, the newest when left out
 * @param step of a pass's marker, which with the other marker's names the output
 * @example
 * computeMarkerSpacing("quick", "base") === computeMarkerSpacing("full", "base"); // false
 */
export function computeMarkerSpacing(
  profile: Profile,
  band: SignalBand,
  version?: number,
  step = 0,
): number {
  return computeSpacing(getRow(profile, version).code, band, step);
}

/**
 * Seconds between the markers of a controls pass with this many windows.
 *
 * @param version of the controls profile, the newest when left out
 * @example
 * computeControlsSpanS(2) > computeControlsSpanS(1); // true
 * computeControlsSpanS(2, 2) > computeControlsSpanS(2, 3); // true
 */
export function computeControlsSpanS(windows: number, version?: number): number {
  const { emptyS, perWindowS } = getControlsSpan(version);
  return round(emptyS + windows * perWindowS);
}

/**
 * Number of windows in a controls pass whose markers are this far apart, at least 1.
 *
 * @param version of the controls profile, the newest when left out
 * @example
 * countControlWindows(computeControlsSpanS(4)); // 4
 * countControlWindows(computeControlsSpanS(7, 2), 2); // 7
 */
export function countControlWindows(spanS: number, version?: number): number {
  const { emptyS, perWindowS } = getControlsSpan(version);
  return Math.max(1, Math.round((spanS - emptyS) / perWindowS));
}

function getControlsSpan(version?: number) {
  const { controls } = getRow("controls", version);
  if (controls === undefined) throw new RangeError(`no windows in controls signal ${version}`);
  return computeControlsSpan(controls);
}

/**
 * The segment table of a profile and band.
 *
 * @param moves for the controls pass: what is moved, in this order
 * @param version of the profile, the newest when left out
 * @param output which output of a pass plays it, 1 to `mostOutputs`: only its markers differ
 * @throws RangeError for an unknown version or output
 * @example
 * buildSignalTable("standard", "base").segments.map(({ name }) => name);
 * // ["marker-start", "silence", "sweep", "tone-1k", "tone-100", "twin", "steps-1k", "marker-end"]
 */
export function buildSignalTable(
  profile: Profile,
  band: SignalBand,
  moves: readonly Move[] = buildMoves(defaultControls),
  version?: number,
  output?: number,
): SignalTable {
  return buildTableOf(getRow(profile, version), band, moves, output);
}

/**
 * The segment table of one version of a profile, see {@link buildSignalTable}.
 *
 * @example
 * const moves = buildUnnamedMoves(2);
 * buildTableOf(findSignalProfile("controls"), "base", moves).profile; // "controls"
 */
export function buildTableOf(
  row: SignalProfile,
  band: SignalBand,
  moves: readonly Move[] = [],
  output?: number,
): SignalTable {
  const table = new TableBuilder(row, band, output);
  return row.build(table.gap(0.1).marker("start"), moves).marker("end").gap(0.1).table();
}

function getRow(profile: Profile, version?: number): SignalProfile {
  const row = findSignalProfile(profile, version);
  if (row === undefined) throw new RangeError(`no version ${version} of the ${profile} signal`);
  return row;
}
