import { buildUnnamedMoves } from "../../signal/moves.js";
import { buildSignalTable } from "../../signal/signal-table.js";
import type { Profile, SignalBand, SignalTable } from "../../signal/types.js";

/** What the markers of a return say about the signal. */
interface Told {
  readonly profile: Profile;
  readonly signalVersion?: number;
  readonly band: SignalBand;
  readonly windows?: number;
  readonly output?: number;
}

/**
 * The segment table of the signal played; controls of a controls pass have no names in it.
 *
 * @example
 * buildReturnTable({ profile: "quick", band: "base" }).profile; // "quick"
 */
export function buildReturnTable(told: Told): SignalTable {
  const { profile, signalVersion, band, windows, output } = told;
  const moves = windows === undefined ? undefined : buildUnnamedMoves(windows);
  return buildSignalTable(profile, band, moves, signalVersion, output);
}
