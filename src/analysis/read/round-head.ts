import type { SignalReturn } from "../../capture/types.js";
import type { RoundCapture, RoundSignal } from "../../history/types.js";
import { buildSignalTable } from "../../signal/signal-table.js";
import type { ReadCapture } from "./read-captures.js";

/** The signal of a return as stored in a round. */
export function buildRoundSignal(
  { profile, band, signalVersion }: SignalReturn,
  sampleRate: number,
): RoundSignal {
  const table = buildSignalTable(profile, band, undefined, signalVersion);
  return {
    id: `v${table.version}-${table.profile}-${table.band}`,
    version: table.version,
    profile: table.profile,
    band: table.band,
    sampleRate,
    nominalDbfs: table.nominalDbfs,
  };
}

/** A capture as stored in a round. */
export function buildRoundCapture({ info, sha256 }: ReadCapture): RoundCapture {
  const { file, sampleRate, bits, channels, frames } = info;
  return { file, sha256, sampleRate, bits, channels, frames };
}
