import type { Return } from "../capture/types.js";
import type { RoundCapture, RoundSignal } from "../history/types.js";
import { signalTable } from "../signal/profiles.js";
import type { ReadCapture } from "./read-captures.js";

/** The signal of a return as a file keeps it. */
export function signalOf({ profile, band }: Return, sampleRate: number): RoundSignal {
  const table = signalTable(profile, band);
  return {
    id: `v${table.version}-${table.profile}-${table.band}`,
    version: table.version,
    profile: table.profile,
    band: table.band,
    sampleRate,
    nominalDbfs: table.nominalDbfs,
  };
}

/** A capture as a file keeps it. */
export function captureOf({ info, sha256 }: ReadCapture): RoundCapture {
  const { file, sampleRate, bits, channels, frames } = info;
  return { file, sha256, sampleRate, bits, channels, frames };
}
