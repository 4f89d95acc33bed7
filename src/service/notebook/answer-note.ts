import { isWithinPlace, pickPlace } from "../../desk/place.js";
import type { SectionKind } from "../../desk/section-kinds.js";
import type { DeskPlace } from "../../desk/types.js";
import { findPart, type NotedPart } from "../../diagnose/notes/find-part.js";
import {
  automationFirstAid,
  type FirstAid,
  findFirstAid,
  supplyFirstAid,
} from "../../diagnose/notes/first-aid.js";
import type { NotedFault } from "../../diagnose/notes/noted-fault.js";
import type { Round } from "../../history/types.js";
import { interpretNote } from "../plan/interpret-note.js";
import { findSubstitutes, type Substitutes } from "./find-substitutes.js";
import { isOfWholeDesk, listDangersAt, listOpenDangers, type OpenDanger } from "./open-dangers.js";
import type { Entry } from "./types.js";

/** First aid for sections that are not like a strip. */
const sectionFirstAid: Readonly<Partial<Record<SectionKind, FirstAid>>> = {
  supply: supplyFirstAid,
  automation: automationFirstAid,
};

/** How a note of a fault was understood, and what to do at once. */
export interface NoteAnswer {
  readonly place: DeskPlace;
  /** `fault`: something is wrong; `in order`: nothing is; `not understood`: to be looked at. */
  readonly taken: "fault" | "in order" | "not understood";
  /** Control and symptom of each fault. */
  readonly faults: readonly NotedFault[];
  /** A component named in a note without a fault: a meter reading of it adds it to the plan. */
  readonly part?: NotedPart;
  /** Absent if there is nothing to try, or a danger forbids it. */
  readonly firstAid?: FirstAid;
  /** Dangers in other open notes because of which the place must stay off. */
  readonly stayOff: readonly OpenDanger[];
  /**
   * Dangers of other strips: the power must stay off while these are plugged in. Empty if the whole
   * desk must stay off anyway.
   */
  readonly elsewhere: readonly OpenDanger[];
  readonly instead?: Substitutes;
  /** Open notes of the place that a note "all in order" may close. */
  readonly mayClose: readonly string[];
}

/**
 * Answers a note of a fault.
 *
 * @param entry the note
 *
 * @param entries all notes, including this one
 * @param round the latest whole round; undefined if there is none
 */
export function answerNote(
  entry: Entry,
  entries: readonly Entry[],
  round: Round | undefined,
): NoteAnswer {
  const place = pickPlace(entry.line);
  const { faults, isInOrder } = interpretNote(entry);
  const open = listOpenDangers(entries);
  const dangers = listDangersAt(place.strip, open);
  const hasDanger = dangers.some(({ note }) => note === entry.id);
  const stayOff = dangers.filter(({ note }) => note !== entry.id);
  const taken =
    faults.length > 0 || hasDanger ? "fault" : isInOrder ? "in order" : "not understood";
  const firstAid =
    dangers.length > 0 || faults.length === 0
      ? undefined
      : (sectionFirstAid[place.sectionKind ?? "other"] ?? findFirstAid(faults[0]));
  const part =
    taken === "not understood" && entry.line.kind === "fault"
      ? findPart(entry.line.text)
      : undefined;
  const instead =
    taken === "in order" || firstAid?.carryOn === "yes" || dangers.some(isOfWholeDesk)
      ? undefined
      : findSubstitutes(place, round, entries);
  return {
    place,
    taken,
    faults: faults.map(({ causes: _, isSure: __, ...fault }) => fault),
    ...(part === undefined ? {} : { part }),
    ...(firstAid === undefined ? {} : { firstAid }),
    stayOff,
    elsewhere: dangers.some(isOfWholeDesk) ? [] : open.filter((one) => !dangers.includes(one)),
    ...(instead === undefined ? {} : { instead }),
    mayClose: taken === "in order" ? listOpenFaultsAt(place, entries) : [],
  };
}

/** Open notes of faults at a place, or within it. */
export function listOpenFaultsAt(place: DeskPlace, entries: readonly Entry[]): readonly string[] {
  const isOfDesk = place.strip === undefined && place.section === undefined;
  return entries
    .filter((entry) => {
      const { line, closed } = entry;
      if (line.kind !== "fault" || closed !== undefined || interpretNote(entry).isInOrder)
        return false;
      const own = pickPlace(line);
      if (isOfDesk) return own.strip === undefined && own.section === undefined;
      return (
        isWithinPlace(own, place) ||
        (isWithinPlace(place, own) && own.strip === place.strip && own.section === place.section)
      );
    })
    .map(({ id }) => id);
}
