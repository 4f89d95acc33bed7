import { compareRounds } from "./compare/compare.js";
import type { RoundComparison } from "./compare/types.js";
import { readRoundUnlessDamaged } from "./read-round-unless-damaged.js";
import { isSameDesk } from "./same-desk.js";
import { createStandingReader } from "./standing.js";
import { listRounds } from "./store.js";
import type { Round } from "./types.js";

/** A round compared with an earlier day on which its paths were measured. */
export interface SinceThen {
  /** `good`: none of the paths stood out on that day; `latest`: there is no such day. */
  readonly day: "good" | "latest";
  readonly comparison: RoundComparison;
}

/** How many rounds are searched for a good day; older ones say little about this morning. */
const mostRounds = 20;

/**
 * Compares a round with the last earlier day on which all its measured paths were measured and none
 * stood out; if there is no such day, with the latest on which they were measured.
 *
 * @param folder the desk's folder
 * @returns undefined if they were never all measured before
 */
export async function compareWithLastGoodDay(
  folder: string,
  round: Round,
): Promise<SinceThen | undefined> {
  const wanted = new Set(
    round.paths.filter(({ status }) => status === "measured").map(({ path }) => path),
  );
  const day = round.date.slice(0, 10);
  let latest: Round | undefined;
  const ids = [...listRounds(folder)].reverse().filter((id) => id.slice(0, 10) < day);
  for (const id of ids.slice(0, mostRounds)) {
    const earlier = await readRoundUnlessDamaged(folder, id);
    if (earlier === undefined || !isSameDesk(earlier.desk, round.desk)) continue;
    const own = earlier.paths.filter(({ path }) => wanted.has(path));
    if (own.length < wanted.size || own.some(({ status }) => status !== "measured")) continue;
    const standing = createStandingReader(earlier);
    const isGood = own.every((path) => ["alike", "unjudged"].includes(standing(path)));
    if (isGood) return { day: "good", comparison: compareRounds(round, earlier) };
    latest ??= earlier;
  }
  if (latest === undefined) return undefined;
  return { day: "latest", comparison: compareRounds(round, latest) };
}
