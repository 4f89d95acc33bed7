import { nameFolder } from "../desk/desk-file.js";
import { findClosestWord } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { parseDay } from "../text/parse-day.js";
import { formatCommand } from "../text/program-name.js";
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
  if (known.length === 0) {
    throw new DeskroundError(
      "round-file",
      `No round is stored in ${nameFolder(folder)}.`,
      `\`${formatCommand("analyze")}\` makes one; --desk names another desk's folder.`,
    );
  }
  const found = findRoundId(known, text);
  if (found !== undefined) return found;
  const dated = readDate(text);
  // A year is no slip of the finger for another year.
  const like =
    dated === undefined ? findClosestWord(text, [...known, "oldest", "last"]) : undefined;
  throw new DeskroundError(
    "round-file",
    dated === undefined
      ? `No round "${text}" is stored in ${nameFolder(folder)}.`
      : `No round of ${text} is stored in ${nameFolder(folder)}.`,
    `${like === undefined ? "" : `Did you mean ${like}? `}\`${formatCommand("show --list")}\` lists all.`,
  );
}

/**
 * The round that a text means, as {@link pickRound} takes it; `previous` is the one before the last.
 *
 * @returns undefined if none is meant
 */
export function findRoundId(known: readonly string[], text: string): string | undefined {
  // A round's file, as it is completed by a shell, is the round.
  const word = text
    .trim()
    .toLowerCase()
    .replace(/^.*[/\\](?=[^/\\]+\.json$)/, "")
    .replace(/\.json$/, "");
  if (word === "last" || word === "latest") return known.at(-1);
  if (word === "oldest" || word === "first") return known[0];
  if (word === "previous") return known.at(-2);
  if (known.includes(word)) return word;
  const date = readDate(word);
  return date === undefined ? undefined : known.filter((id) => id.startsWith(`${date}-`)).at(-1);
}

/** A year, a month or a day, as ids of rounds begin; undefined for anything else. */
function readDate(text: string): string | undefined {
  if (/^\d{4}(-\d{2}){0,2}$/.test(text)) return text;
  const parsed = parseDay(text);
  return "day" in parsed ? parsed.day : undefined;
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
  const word = { first: "oldest", latest: "last", previous: "last" }[text] ?? text;
  if (word !== "oldest" && word !== "last") return [pickRound(known, text, folder)];
  const earlier = known.filter((id) => compareRoundIds(id, round) < 0);
  const day = (id: string) => parseRoundId(id)?.day;
  const earlierDays = earlier.filter((id) => day(id) !== day(round));
  const [sameDay] = earlier.slice(-1);
  if (earlierDays.length === 0 && sameDay !== undefined) {
    throw new DeskroundError(
      "round-file",
      `No round of an earlier day than ${round} is stored in ${nameFolder(folder)}.`,
      `Round ${sameDay} is of the same day: name it if you mean that one.`,
    );
  }
  if (earlier.length === 0) {
    throw new DeskroundError(
      "round-file",
      `No round is stored before ${round} in ${nameFolder(folder)}.`,
      "The first round of a desk has nothing to compare with yet.",
    );
  }
  return word === "oldest" ? earlierDays : earlierDays.reverse();
}
