import { pickPlace } from "../../desk/place.js";
import type { DeskPlace } from "../../desk/types.js";
import { groupByStanding } from "../../history/standing.js";
import type { Round } from "../../history/types.js";
import { judgeMeter, type MeterLine } from "../meter/judge.js";
import { interpretNote } from "../plan/interpret-note.js";
import { listNoteDangers } from "./open-dangers.js";
import type { Entry } from "./types.js";

/** Places to use instead of a faulty one, by the last round. */
export interface Substitutes {
  /** Id of the round. */
  readonly round: string;
  /** `8/mic` for an input, `8` if all inputs of the strip were in order; the nearest first. */
  readonly places: readonly string[];
}

/** Number of places suggested. */
const most = 3;

/**
 * Paths of the same family without findings in a round and without open notes; for a whole strip,
 * strips of which all paths are like that.
 *
 * @returns undefined without a round, or if the place is not a strip
 */
export function findSubstitutes(
  place: DeskPlace,
  round: Round | undefined,
  entries: readonly Entry[],
): Substitutes | undefined {
  const { strip, input } = place;
  if (round === undefined || strip === undefined) return undefined;
  const strips = [...new Set(round.paths.map((path) => path.strip))];
  const families = round.paths
    .filter((path) => path.strip === strip && (input === undefined || path.input === input))
    .map(({ family }) => family);
  if (families.length === 0) return undefined;
  const alike = new Set(groupByStanding(round).alike.map(({ path }) => path));
  const isFree = (other: string, own?: string) =>
    !entries.some((entry) => speaksAgainst(entry, other, own));
  const here = strips.indexOf(strip);
  const nearest = strips
    .filter((other) => other !== strip)
    .sort((a, b) => Math.abs(strips.indexOf(a) - here) - Math.abs(strips.indexOf(b) - here));
  const places = nearest.flatMap((other) => {
    const paths = round.paths.filter(
      (path) => path.strip === other && families.includes(path.family),
    );
    const isSound = paths.length === families.length && paths.every(({ path }) => alike.has(path));
    if (!isSound || !isFree(other, input)) return [];
    return [input === undefined ? other : paths[0].path];
  });
  return { round: round.id, places: places.slice(0, most) };
}

/** Whether an open note says that something is wrong with a strip, or with that input of it. */
function speaksAgainst(entry: Entry, strip: string, input: string | undefined): boolean {
  const { line, closed } = entry;
  const place = pickPlace(line);
  if (closed !== undefined || place.strip !== strip) return false;
  if (input !== undefined && place.input !== undefined && place.input !== input) return false;
  if (line.kind === "meter") return judgeMeter(line as MeterLine).verdict !== "in";
  if (line.kind === "off") return true;
  if (line.kind !== "fault") return false;
  return !interpretNote(entry).isInOrder || listNoteDangers(entry).length > 0;
}
