import { listCandidates } from "./list-candidates.js";
import { isMakeDifference } from "./make-difference.js";
import { readRows, type Score, scoreCandidate } from "./score-candidate.js";
import { isStretchAround } from "./stretch-around.js";
import { takeFaultOff } from "./take-fault-off.js";
import { toSharedFault } from "./to-shared-fault.js";
import type { PlacedInput, SharedFault, SharedStructure } from "./types.js";

/** Nats, about 50 to 1; from these odds strips are considered to have a common fault. */
export const leastLogOdds = 4;
/** Largest number of faulty shared parts at once. */
const mostFaults = 5;

/** What paths share, and what remains of each without it. */
export interface Separated {
  readonly faults: readonly SharedFault[];
  /** The paths given, in order, without the faults' contributions. */
  readonly inputs: readonly PlacedInput[];
}

/**
 * Separates faults shared by strips from those of single paths. The most likely shared fault is
 * found and its contribution subtracted, then the next, until none explains the paths better than
 * separate faults.
 *
 * @param paths all paths of a round, in order of recording
 *
 * @param structure what strips are known to share
 * @example
 * const strips = ["1", "2", "3", "4", "5", "6", "7", "8"];
 * const paths = strips.map((strip, k) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: {
 *     readings: { gain: { value: k < 4 ? -6 : 0, unit: "dB", uncertainty: 0.01 } },
 *     absent: {},
 *     curves: {},
 *   },
 * }));
 * const parts = [{ kind: "ribbon", name: "A", strips: ["1", "2", "3", "4"] }];
 * const { faults, inputs } = separateShared(paths, { strips, parts });
 * faults.map(({ part }) => part.name); // ["A"]
 * inputs[0].measurement.readings.gain.value; // 0
 */
export function separateShared(
  paths: readonly PlacedInput[],
  structure: SharedStructure,
): Separated {
  const faults: SharedFault[] = [];
  let inputs = paths;
  let makes = 0;
  while (faults.length + makes < mostFaults) {
    const best = findBest(inputs, structure);
    if (!best) break;
    if (isMakeDifference(best, inputs.length)) {
      // Two kinds of strips: from here on each is compared with its own kind.
      inputs = inputs.map((one) =>
        best.candidate.members.has(one.path) ? { ...one, family: `${one.family}\n${makes}` } : one,
      );
      makes++;
      continue;
    }
    faults.push(toSharedFault(best, inputs));
    inputs = takeFaultOff(inputs, best);
  }
  const families = new Map(paths.map(({ path, family }) => [path, family]));
  return {
    faults,
    inputs: inputs.map((one) => ({ ...one, family: families.get(one.path) ?? one.family })),
  };
}

function findBest(inputs: readonly PlacedInput[], structure: SharedStructure): Score | undefined {
  const values = readRows(inputs, structure.strips);
  const scores = listCandidates(inputs, structure).map((one) => scoreCandidate(one, values));
  const likelier = (a: Score | undefined, b: Score) => (!a || b.logOdds > a.logOdds ? b : a);
  // What has to be beaten by all is beaten first; among the rest the likeliest is the one.
  const best = scores
    .filter(({ logOddsApart }) => logOddsApart >= leastLogOdds)
    .reduce<Score | undefined>(likelier, undefined);
  if (best === undefined) return undefined;
  // A strip among them with a separate fault may hide what it shares with them.
  return scores
    .filter((one) => isStretchAround(one.candidate, best.candidate, structure.strips))
    .reduce(likelier, best);
}
