import { pickPlace } from "../../desk/place.js";
import type { DeskSection } from "../../desk/section-kinds.js";
import type { DeskPlace } from "../../desk/types.js";
import { type DangerId, getDangerKind } from "../../diagnose/dangers.js";
import { findDangers } from "../../diagnose/find-dangers.js";
import { collapseSpace } from "../../text/collapse-space.js";
import { rememberLast } from "../../text/remember-last.js";
import type { Entry } from "./types.js";

/** An open note that mentions a danger. */
export interface OpenDanger extends DeskPlace {
  /** Id of the note. */
  readonly note: string;
  /** YYYY-MM-DD. */
  readonly date: string;
  /** The text of the note, on one line. */
  readonly words: string;
  /** The gravest first. */
  readonly dangers: readonly DangerId[];
  /** Supplies that feed the place, by the desk file; absent if it names none. */
  readonly supplies?: readonly string[];
  /** What the place feeds, if it is a supply and the desk file says so. */
  readonly feeds?: readonly string[];
}

/** What feeds a place and what it feeds, as far as the desk file says. */
export function findFeeds(
  { strip, section }: DeskPlace,
  sections: readonly DeskSection[],
): Pick<OpenDanger, "supplies" | "feeds"> {
  const name = strip ?? section;
  const supplies = sections
    .filter(({ feeds }) => name !== undefined && feeds?.includes(name))
    .map((one) => one.name);
  const feeds = sections.find((one) => one.name === section)?.feeds;
  return {
    ...(supplies.length === 0 ? {} : { supplies }),
    ...(feeds === undefined ? {} : { feeds }),
  };
}

/** A plan asks several times for each of its notes. */
const findLately = rememberLast(findDangers, 1000);

/** The dangers in the text of a note, whatever its control or symptom. */
export function listNoteDangers({ line }: Pick<Entry, "line">): readonly DangerId[] {
  if (line.kind !== "fault" && line.kind !== "meter") return [];
  // For a supply, the place is part of the text.
  return findLately(line.sectionKind === "supply" ? `supply ${line.text}` : line.text);
}

/**
 * Open notes that mention a danger, in the order noted.
 *
 * @param sections of the desk, for the signal flow
 */
export function listOpenDangers(
  entries: readonly Entry[],
  sections: readonly DeskSection[] = [],
): readonly OpenDanger[] {
  return entries.flatMap((entry): OpenDanger[] => {
    const { id, line, closed } = entry;
    const dangers = closed === undefined ? listNoteDangers(entry) : [];
    if (dangers.length === 0) return [];
    const place = pickPlace(line);
    return [
      {
        note: id,
        date: line.date.slice(0, 10),
        ...place,
        ...findFeeds(place, sections),
        words: collapseSpace(line.text),
        dangers,
      },
    ];
  });
}

/** Whether the whole desk must stay off for a danger, not only its strip. */
export function isOfWholeDesk({ strip, dangers }: Pick<OpenDanger, "strip" | "dangers">): boolean {
  return strip === undefined || dangers.some((id) => getDangerKind(id).leaveOff === "desk");
}

/** The dangers because of which a strip must not be powered. */
export function listDangersAt(
  strip: string | undefined,
  dangers: readonly OpenDanger[],
): readonly OpenDanger[] {
  return dangers.filter((one) => isOfWholeDesk(one) || one.strip === strip);
}
