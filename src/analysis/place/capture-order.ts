import type { AssignmentResult } from "../../capture/assign/assign-returns.js";
import { findOutOfSequence } from "../../capture/assign/split-recordings.js";
import { toDisplayName } from "../../capture/containers/open-file.js";
import type { SignalSpan } from "../../capture/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import type { ReadCapture } from "../read/read-captures.js";

/** Two files in the wrong order. */
type Pair = readonly [string, string];

/** Dictionary order, used by some shells; others sort by bytes. */
const words = new Intl.Collator("en");
/** Digits count as numbers: take 2 comes before take 10. */
const byNumber = new Intl.Collator("en", { numeric: true });

/**
 * Checks that files whose returns are assigned to one list in order are named in the order of their
 * numbers. Parts of a split recording must be; captures of one return each may be in another order
 * on purpose, e.g. if a path was played again later, so for these it is only a doubt.
 *
 * @returns doubts
 * @throws DeskroundError `usage`
 */
export function validateOrder(
  { inTurn }: Pick<AssignmentResult<SignalSpan>, "inTurn">,
  captures: readonly ReadCapture[],
): readonly Doubt[] {
  const counts = new Map(
    captures.map(({ info, found }) => [info.file, found.returns.length + found.cuts.length]),
  );
  const doubts = inTurn.flatMap((files) => {
    const listed = listedFault(files);
    if (listed !== undefined) throw asListed(listed);
    const joint = jointFault(files, captures);
    if (joint !== undefined) throw againstJoint(joint);
    const falling = findOutOfSequence(files);
    const parts = falling.find((pair) => pair.some((file) => (counts.get(file) ?? 0) > 1));
    if (parts !== undefined) throw notAsNumbered(parts);
    return falling.slice(0, 1);
  });
  const pairs = new Map(doubts.map((pair) => [pair.join("\0"), pair]));
  return [...pairs.values()].map(
    ([before, after]): Doubt => ({ code: "order-against-numbers", before, after }),
  );
}

/**
 * Whether files are in a shell's alphabetical order although their numbers have another: "take 1,
 * take 10, take 2". Any other order is the user's choice.
 *
 * @returns the first two neighbours in the wrong order; undefined if there are none
 */
function listedFault(files: readonly string[]): Pair | undefined {
  const byLetter = files.every((file, k) => k === 0 || files[k - 1] < file);
  const byWord = files.every((file, k) => k === 0 || words.compare(files[k - 1], file) < 0);
  if (!byLetter && !byWord) return undefined;
  // Without the extension: "evening" comes before "evening_2", whatever a full stop weighs.
  const stems = files.map((file) => file.replace(/\.[a-z0-9]{1,5}$/i, ""));
  const wrong = stems.findIndex((stem, k) => k > 0 && byNumber.compare(stems[k - 1], stem) > 0);
  return wrong < 0 ? undefined : [files[wrong - 1], files[wrong]];
}

/** A file listed before the one in which its first return begins. */
function jointFault(files: readonly string[], captures: readonly ReadCapture[]): Pair | undefined {
  for (const { info, found } of captures) {
    for (const { endsIn } of [...found.returns, ...found.cuts]) {
      if (endsIn === undefined || !files.includes(endsIn)) continue;
      if (files.indexOf(endsIn) < files.indexOf(info.file)) return [endsIn, info.file];
    }
  }
  return undefined;
}

const inTheirOrder = "Name them in the order they were recorded";
const orMap = "or say with --map which path each is";

function asListed(pair: Pair): DeskroundError {
  const [before, after] = pair.map(toDisplayName);
  return new DeskroundError(
    "usage",
    `${before} is listed before ${after}: the recordings are in alphabetical order, not in the order of their numbers.`,
    `${inTheirOrder}, e.g. a?.wav a??.wav, ${orMap}.`,
  );
}

function againstJoint(pair: Pair): DeskroundError {
  const [before, after] = pair.map(toDisplayName);
  return new DeskroundError(
    "usage",
    `${before} is listed before ${after}, but a return begins in ${after} and ends in ${before}.`,
    `${inTheirOrder}, ${after} first.`,
  );
}

function notAsNumbered(pair: Pair): DeskroundError {
  const [before, after] = pair.map(toDisplayName);
  return new DeskroundError(
    "usage",
    `${before} is listed before ${after}, though by its number it was recorded later.`,
    `${inTheirOrder}. If this is that order, give them different names, e.g. mic.wav and line.wav, ${orMap}.`,
  );
}
