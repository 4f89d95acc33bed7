import { nameFolder } from "../desk/desk-file.js";
import { findClosestWord } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { parseDay } from "../text/parse-day.js";
import { formatCommand } from "../text/program-name.js";
import { compareRoundIds, parseRoundId } from "./round-id.js";

/**
 * The round that the user means: an id, `oldest`, `last`, or a date (`2030`, `2030-03`, `2030-03-10`),
 * which stands for its last round.
 *
 * @param known ids of the rounds there are, oldest first
 * @param text what the user wrote
 * @param folder the desk's folder, for the message
 * @throws DeskroundError `round-file`: none is stored, or none matches
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
  // One year is not a typing error for another.
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
 * The round that the user means, as in {@link pickRound}; `previous` is the one before the last.
 *
 * @returns undefined if none matches
 */
export function findRoundId(known: readonly string[], text: string): string | undefined {
  // A shell may complete the name of a round's file: it stands for the round.
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
 * The rounds that may serve as a baseline, best match first: `last` is the last one of an earlier
 * day than the round in question; if it is damaged, the next one is used. A round of the same day
 * is taken only if it is named.
 *
 * @param known ids of the rounds there are, oldest first
 * @param round id of the round in question
 * @throws DeskroundError `round-file`: there is no earlier round, or none matches
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
