import { unnamedMoves } from "../signal/moves.js";
import { signalTable } from "../signal/profiles.js";
import type { Band, Profile, SignalTable } from "../signal/table.js";

/** What a return's markers tell of the signal. */
interface Told {
  readonly profile: Profile;
  readonly band: Band;
  readonly windows?: number;
}

/** The segment table of what was played; the controls of a controls pass without their names. */
export function returnTable({ profile, band, windows }: Told): SignalTable {
  if (windows === undefined) return signalTable(profile, band);
  return signalTable(profile, band, unnamedMoves(windows));
}
