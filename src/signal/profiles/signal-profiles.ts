import type { Profile } from "../types.js";
import { controls2 } from "./controls-2.js";
import { controls3 } from "./controls-3.js";
import { full1 } from "./full-1.js";
import { quick1 } from "./quick-1.js";
import { standard1 } from "./standard-1.js";
import type { SignalProfile } from "./types.js";

/** Every version of every profile that can be read; only the newest of each is written. */
export const signalProfiles: readonly SignalProfile[] = [
  quick1,
  standard1,
  full1,
  controls2,
  controls3,
];

/**
 * A version of a profile; the newest if none is given.
 *
 * @param rows all there are; those of this program when left out
 * @returns undefined for a version that is not known
 * @example
 * findSignalProfile("standard")?.version; // 1
 */
export function findSignalProfile(
  profile: Profile,
  version?: number,
  rows: readonly SignalProfile[] = signalProfiles,
): SignalProfile | undefined {
  const own = rows.filter((row) => row.profile === profile);
  if (version !== undefined) return own.find((row) => row.version === version);
  return own.reduce<SignalProfile | undefined>(
    (newest, row) => (newest === undefined || row.version > newest.version ? row : newest),
    undefined,
  );
}
