import { shownName } from "../../capture/open.js";
import type { RoundSignal } from "../../history/types.js";
import { bands, profiles, signalTable, versionOf } from "../../signal/profiles.js";
import type { SignalTable } from "../../signal/table.js";

/** A file's name without its folders: those are nobody's business on a page that is sent round. */
export function fileName(file: string): string {
  return shownName(file.split(/[\\/]/).at(-1) ?? file);
}

/** The parts of a round's signal; undefined for one that this program does not know. */
export function knownSignal({ profile, band, version }: RoundSignal): SignalTable | undefined {
  const [known, within] = [
    profiles.find((one) => one === profile),
    bands.find((one) => one === band),
  ];
  if (known === undefined || within === undefined || version !== versionOf(known)) return undefined;
  return signalTable(known, within);
}
