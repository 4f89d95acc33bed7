import { findClosestWord } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { compareRoundIds, parseRoundId } from "./round-id.js";

/**
 * The round that a text means: an id, `oldest`, `last`, or a date (`2030`, `2030-03`, `2030-03-10`),
 * of which the last round is meant.
 *
 * @param known ids of the rounds there are, oldest first
 * @param text what the user wrote
 * @param folder the desk's folder, for the message
 * @throws DeskroundError `round-file`: none is stored, or none is meant
 */
export function pickRound(known: readonly string[], text: string, folder: string): string {
  const [oldest, last] = [known[0], known.at(-1)];
  if (oldest === undefined || last === undefined) {
    throw new DeskroundError(
      "round-file",
      `No round is stored in ${folder}.`,
      "`deskround analyze` makes one; --desk names another desk's folder.",
    );
  }
  if (text === "last") return last;
  if (text === "oldest") return oldest;
  if (known.includes(text)) return text;
  const dated = isDate(text) ? known.filter((id) => id.startsWith(`${text}-`)).at(-1) : undefined;
  if (dated !== undefined) return dated;
  throw new DeskroundError(
    "round-file",
    isDate(text)
      ? `No round of ${text} is stored in ${folder}.`
      : `No round "${text}" is stored in ${folder}.`,
    `Did you mean ${findClosestWord(text, [...known, "oldest", "last"]) ?? last}? \`deskround show --list\` lists all.`,
  );
}

/**
 * The rounds that a baseline may be, nearest to what the text means first: `last` is the one of an
 * earlier day than the round in question, and where a damaged one has to be passed over, the next
 * follows. A round of the same day is no last year's: it is only taken by its name.
 *
 * @param known ids of the rounds there are, oldest first
 * @param round id of the round in question
 * @throws DeskroundError `round-file`: no round lies before it, or none is meant
 */
export function pickBaselines(
  known: readonly string[],
  text: string,
  round: string,
  folder: string,
): readonly string[] {
  if (text !== "oldest" && text !== "last") return [pickRound(known, text, folder)];
  const earlier = known.filter((id) => compareRoundIds(id, round) < 0);
  const day = (id: string) => parseRoundId(id)?.day;
  const earlierDays = earlier.filter((id) => day(id) !== day(round));
  const [sameDay] = earlier.slice(-1);
  if (earlierDays.length === 0 && sameDay !== undefined) {
    throw new DeskroundError(
      "round-file",
      `No round of an earlier day than ${round} is stored in ${folder}.`,
      `Round ${sameDay} is of the same day: name it, if that is meant.`,
    );
  }
  if (earlier.length === 0) {
    throw new DeskroundError(
      "round-file",
      `No round is stored before ${round} in ${folder}.`,
      "The first round of a desk has nothing to be compared with yet.",
    );
  }
  return text === "oldest" ? earlierDays : earlierDays.reverse();
}

function isDate(text: string): boolean {
  return /^\d{4}(-\d{2}){0,2}$/.test(text);
}
