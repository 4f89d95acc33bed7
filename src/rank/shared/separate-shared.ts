import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import { mostCertain, stripEvidenceShare } from "../certainty.js";
import { serviceFloors } from "../severity.js";
import { isDead } from "./dead.js";
import { listCandidates } from "./list-candidates.js";
import { isMakeDifference, mayBeMakeDifference } from "./make-difference.js";
import { type MovedRow, readRows, type Score, scoreCandidate } from "./score-candidate.js";
import { findPooledShares, findShares, type Shares, subtractShares } from "./subtract-share.js";
import type { PlacedInput, SharedFault, SharedFinding, SharedStructure } from "./types.js";

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
    faults.push(toFault(best, inputs));
    inputs = takeOff(inputs, best);
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
  return scores.filter((one) => isStretchAround(one, best, structure)).reduce(likelier, best);
}

/** Whether a set is an unnamed run of neighbours that contains another such set. */
function isStretchAround(
  { candidate: { part, members } }: Score,
  { candidate: within }: Score,
  { strips }: SharedStructure,
): boolean {
  if (part.kind !== "bank" || part.name !== undefined || within.part.kind !== "bank") return false;
  if (within.part.name !== undefined || members.size <= within.members.size) return false;
  const places = (part.strips ?? []).map((strip) => strips.indexOf(strip));
  const isStretch = Math.max(...places) - Math.min(...places) === places.length - 1;
  return isStretch && [...within.members].every((path) => members.has(path));
}

function toFault(score: Score, inputs: readonly PlacedInput[]): SharedFault {
  const { candidate, logOddsApart, moved, aspects } = score;
  const [aspect] = aspects;
  const order = [...moved].sort(
    (a, b) => aspects.indexOf(a.row.aspect) - aspects.indexOf(b.row.aspect) || b.nats - a.nats,
  );
  const seen = new Set<string>();
  const findings = order.flatMap((one): SharedFinding[] => {
    const { row } = one;
    const { inside, outside } = asMeasured(one, candidate.members, inputs);
    const key = `${row.reading} ${row.aspect}`;
    if (seen.has(key)) return [];
    seen.add(key);
    const at = row.atHz === undefined ? {} : { atHz: row.atHz };
    return [
      {
        reading: row.reading,
        deviation: inside - outside,
        unit: row.unit,
        value: inside,
        expected: outside,
        ...at,
      },
    ];
  });
  const grave = order.some(
    ({ row, deviation }) => Math.abs(deviation) >= serviceFloors * row.least,
  );
  return {
    part: candidate.part,
    paths: inputs.flatMap(({ path }) => (candidate.members.has(path) ? [path] : [])),
    findings,
    aspect: isDead(aspect, findings) ? "dead" : aspect,
    against: "siblings",
    severity: grave && !mayBeMakeDifference(score, inputs.length) ? "service" : "watch",
    probability: Math.min(mostCertain, 1 / (1 + Math.exp(-stripEvidenceShare * logOddsApart))),
  };
}

/** Both medians of a row as measured. */
function asMeasured(
  { row, family, inside, outside }: MovedRow,
  members: ReadonlySet<string>,
  inputs: readonly PlacedInput[],
) {
  const { readPlain } = row;
  if (readPlain === undefined) return { inside, outside };
  const own = inputs.filter((path) => path.family === family);
  const of = (isInside: boolean) =>
    own.flatMap((path) => (members.has(path.path) === isInside ? (readPlain(path) ?? []) : []));
  return { inside: median(of(true)), outside: median(of(false)) };
}

/** The paths without the contribution of a fault, family by family. */
function takeOff(
  inputs: readonly PlacedInput[],
  { candidate, moved }: Score,
): readonly PlacedInput[] {
  const { members, part, isThrough } = candidate;
  const families = groupBy(inputs, ({ family }) => family);
  const level = moved.find(({ row }) => row.aspect === "level");
  const shares = new Map<string, Shares>();
  const compared = [...families].flatMap(([family, own]) => {
    const of = (inside: "inside" | "outside") =>
      own.flatMap(({ path, measurement }) =>
        measurement && members.has(path) === (inside === "inside") ? [measurement] : [],
      );
    const sides = { inside: of("inside"), outside: of("outside") };
    if (sides.outside.length > 0) return [{ family, sides }];
    if (part.kind === "level" && level) shares.set(family, shiftAll(level.deviation));
    return [];
  });
  const pooled = isThrough ? findPooledShares(compared.map(({ sides }) => sides)) : undefined;
  compared.forEach(({ family, sides }, k) => {
    shares.set(family, pooled?.[k] ?? findShares(sides));
  });
  return inputs.map((one) => {
    const own = shares.get(one.family);
    if (!own || !members.has(one.path)) return one;
    if (!one.measurement) return withoutSilence(one, moved);
    return { ...one, measurement: subtractShares(one.measurement, own) };
  });
}

/** A path that is silent because of a dead shared part says nothing about itself. */
function withoutSilence(one: PlacedInput, moved: Score["moved"]): PlacedInput {
  if (one.loud !== undefined || !moved.some(({ row }) => row.aspect === "dead")) return one;
  const { unheard: _, ...rest } = one;
  return rest;
}

function shiftAll(deviation: number): Shares {
  const share = { inside: deviation, outside: 0, scatter: 0 };
  const ids = [getReadingId("gain"), getReadingId("level")];
  return { readings: Object.fromEntries(ids.map((id) => [id, share])), curves: {} };
}
