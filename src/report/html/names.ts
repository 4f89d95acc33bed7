import { toDisplayName } from "../../capture/containers/open-file.js";
import type { RoundSignal } from "../../history/types.js";
import { bands, buildTableOf, findSignalProfile, profiles } from "../../signal/signal-table.js";
import type { SignalTable } from "../../signal/types.js";

/**
 * A file's name without its folders, which are private and do not belong on a page that is passed
 * on.
 */
export function getBaseName(file: string): string {
  return toDisplayName(file.split(/[\\/]/).at(-1) ?? file);
}

/** The parts of a round's signal; undefined for one that this program does not know. */
export function findSignalTable({ profile, band, version }: RoundSignal): SignalTable | undefined {
  const [known, within] = [
    profiles.find((one) => one === profile),
    bands.find((one) => one === band),
  ];
  const row = known === undefined ? undefined : findSignalProfile(known, version);
  return row === undefined || within === undefined ? undefined : buildTableOf(row, within);
}
