import type { DeskPlace } from "../../desk/place.js";
import { type DangerId, getDangerKind } from "../../diagnose/dangers.js";
import { findDangers } from "../../diagnose/find-dangers.js";
import type { Entry } from "./types.js";

/** An open note that speaks of a danger. */
export interface OpenDanger extends DeskPlace {
  /** Id of the note. */
  readonly note: string;
  /** YYYY-MM-DD. */
  readonly date: string;
  /** The note's own words, on one line. */
  readonly words: string;
  /** The gravest first. */
  readonly dangers: readonly DangerId[];
}

/** The dangers in the words of a note, whatever control or symptom it was given. */
export function listNoteDangers({ line }: Pick<Entry, "line">): readonly DangerId[] {
  return line.kind === "fault" || line.kind === "meter" ? findDangers(line.text) : [];
}

/** The notes that speak of a danger and are not closed, in the order they were noted. */
export function listOpenDangers(entries: readonly Entry[]): readonly OpenDanger[] {
  return entries.flatMap((entry): OpenDanger[] => {
    const { id, line, closed } = entry;
    const dangers = closed === undefined ? listNoteDangers(entry) : [];
    if (dangers.length === 0) return [];
    const { strip, input } = line;
    return [
      {
        note: id,
        date: line.date.slice(0, 10),
        ...(strip === undefined ? {} : { strip }),
        ...(input === undefined ? {} : { input }),
        words: line.text.replace(/\s+/g, " ").trim(),
        dangers,
      },
    ];
  });
}

/** Whether all of the desk stays off for a danger, and not its strip alone. */
export function isOfWholeDesk({ strip, dangers }: Pick<OpenDanger, "strip" | "dangers">): boolean {
  return strip === undefined || dangers.some((id) => getDangerKind(id).leaveOff === "desk");
}

/** The dangers for which a strip is not to be powered. */
export function listDangersAt(
  strip: string | undefined,
  dangers: readonly OpenDanger[],
): readonly OpenDanger[] {
  return dangers.filter((one) => isOfWholeDesk(one) || one.strip === strip);
}
