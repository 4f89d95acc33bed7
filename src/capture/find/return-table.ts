import { buildUnnamedMoves } from "../../signal/moves.js";
import { buildSignalTable } from "../../signal/signal-table.js";
import type { Profile, SignalBand, SignalTable } from "../../signal/types.js";

/** What a return's markers tell of the signal. */
interface Told {
  readonly profile: Profile;
  readonly band: SignalBand;
  readonly windows?: number;
}

/** The segment table of what was played; the controls of a controls pass without their names. */
export function buildReturnTable({ profile, band, windows }: Told): SignalTable {
  if (windows === undefined) return buildSignalTable(profile, band);
  return buildSignalTable(profile, band, buildUnnamedMoves(windows));
}
