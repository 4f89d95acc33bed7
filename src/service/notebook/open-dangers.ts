import { pickPlace } from "../../desk/place.js";
import type { DeskSection } from "../../desk/section-kinds.js";
import type { DeskPlace } from "../../desk/types.js";
import { type DangerId, getDangerKind } from "../../diagnose/dangers.js";
import { findDangers } from "../../diagnose/find-dangers.js";
import { collapseSpace } from "../../text/collapse-space.js";
import { rememberLast } from "../../text/remember-last.js";
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
  /** Supplies that the desk file says feed the place; absent where it names none. */
  readonly supplies?: readonly string[];
  /** What the place feeds, where it is a supply of which the desk file says so. */
  readonly feeds?: readonly string[];
}

/** What feeds a place, and what it feeds itself, as far as the desk file says so. */
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

/** The dangers in the words of a note, whatever control or symptom it was given. */
export function listNoteDangers({ line }: Pick<Entry, "line">): readonly DangerId[] {
  if (line.kind !== "fault" && line.kind !== "meter") return [];
  // Of a supply its place says what hums.
  return findLately(line.sectionKind === "supply" ? `supply ${line.text}` : line.text);
}

/**
 * The notes that speak of a danger and are not closed, in the order they were noted.
 *
 * @param sections of the desk, for what feeds what
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
