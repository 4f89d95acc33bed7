import type { Assignment, SignalSpan } from "../../capture/types.js";
import type { Desk } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { bringTogether } from "../../history/compare/common-units.js";
import { findExchangedInputs } from "../../history/order/find-exchanged-inputs.js";
import { findNewlyOdd } from "../../history/order/find-newly-odd.js";
import { findOrderDoubts, type PlayedReturn } from "../../history/order/find-order-doubts.js";
import {
  computePathFingerprint,
  computeUnlikeness,
  type Fingerprint,
} from "../../history/order/fingerprint.js";
import type { Round } from "../../history/types.js";
import { takeOffAllShares } from "../../history/without-shared.js";

/**
 * Doubts about which path each return belongs to, by the readings: compared with the last round or,
 * if there is none, with the families. Assignments by a map are not doubted.
 *
 * @param round about to be stored
 *
 * @param earlier the last whole round of an earlier day; undefined if there is none
 */
export function listOrderDoubts(
  desk: Pick<Desk, "paths" | "inputs">,
  assignments: readonly Assignment<SignalSpan>[],
  round: Round,
  earlier: Round | undefined,
): readonly Doubt[] {
  // Deviations shared by strips do not identify a strip.
  const alone = takeOffAllShares(round);
  const { later, earlier: before } =
    earlier === undefined
      ? { later: alone, earlier: undefined }
      : bringTogether(takeOffAllShares(earlier), alone);
  const played = listPlayed(assignments, later);
  const prints = computePrints(before);
  const past = placeReference(later, assignments, before);
  const count = past.isShort ? "short" : getCount(round);
  const found = [
    ...findUnlikeTakes(round),
    ...findOrderDoubts({
      played: [...past.played, ...played],
      sheet: [...past.lead, ...desk.paths, ...past.trail],
      known: past.known,
      ...(before === undefined ? {} : { earlier: { round: before.id, prints } }),
      ...(count === undefined ? {} : { count }),
    }),
  ];
  if (found.length > 0 || played.length === 0) return found;
  const exchanged = findExchangedFiles(assignments, round, earlier, desk);
  if (exchanged.length > 0) return exchanged;
  if (before === undefined) return findExchangedInputs(desk.inputs, later.paths, played);
  return round.partial === undefined ? findNewlyOdd(round, before) : [];
}

/** Measured returns in order of play, without those assigned by a map or channel. */
function listPlayed(
  assignments: readonly Assignment<SignalSpan>[],
  { paths }: Pick<Round, "paths">,
): readonly PlayedReturn[] {
  const measured = new Map(
    paths.flatMap((one) => (one.status === "measured" ? [[one.path, one] as const] : [])),
  );
  return assignments.flatMap(({ path, by, return: one }): PlayedReturn[] => {
    const own = measured.get(path);
    if (own === undefined || by === "map" || by === "channel" || by === "output") return [];
    const { take, family } = own;
    if (take?.file !== one.file || Math.abs(take.startSample - one.startSample) > 1) return [];
    return [{ path, family, file: one.file, print: computePathFingerprint(own) }];
  });
}

/** Fingerprints of a round's measured paths; none without a round. */
function computePrints(round: Pick<Round, "paths"> | undefined): ReadonlyMap<string, Fingerprint> {
  return new Map(
    (round?.paths ?? []).flatMap((one): [string, Fingerprint][] =>
      one.status === "measured" ? [[one.path, computePathFingerprint(one)]] : [],
    ),
  );
}

/**
 * Whether files were swapped, by the unmodified readings: wrongly assigned paths look as if strips
 * shared a deviation, and subtracting that would hide the swap.
 */
function findExchangedFiles(
  assignments: readonly Assignment<SignalSpan>[],
  round: Round,
  earlier: Round | undefined,
  desk: Pick<Desk, "paths">,
): readonly Doubt[] {
  if (earlier === undefined) return [];
  const { later, earlier: before } = bringTogether(earlier, round);
  const doubts = findOrderDoubts({
    played: listPlayed(assignments, later),
    sheet: desk.paths,
    known: new Map(),
    earlier: { round: before.id, prints: computePrints(before) },
  });
  return doubts.filter(({ code }) => code === "files-exchanged");
}

/**
 * Puts the reference path into the order of play if it was assigned to the first return by order
 * alone: the last return may be its second turn, if a path was skipped.
 */
function placeReference(
  { reference }: Round,
  assignments: readonly Assignment<SignalSpan>[],
  before: Round | undefined,
) {
  const none = { played: [], lead: [], trail: [], known: new Map<string, Fingerprint>() };
  const first = reference?.turns.find(
    ({ turn, status }) => turn === "first" && status === "measured",
  );
  if (reference === undefined || first === undefined) return { ...none, isShort: false };
  const { name } = reference;
  const isOrdered = assignments.some(
    ({ path, by, return: one }) => path === name && by === "order" && one.file === first.take.file,
  );
  if (!isOrdered) return { ...none, isShort: false };
  const print = computePathFingerprint(first);
  const then =
    before?.reference?.into === reference.into
      ? before.reference.turns.find(({ status }) => status === "measured")
      : undefined;
  const [entry, again] = [name, `${name}, again`].map((path) => ({ path, family: name }));
  const isShort = reference.turns.length < 2;
  return {
    played: then ? [{ ...entry, file: first.take.file, print }] : [],
    lead: [entry],
    trail: isShort ? [again] : [],
    known: new Map([
      ...(then ? [[entry.path, computePathFingerprint(then)] as const] : []),
      [again.path, then ? computePathFingerprint(then) : print],
    ]),
    isShort,
  };
}

/**
 * Whether there were fewer or more returns than paths in the list that they were assigned to in
 * order.
 */
function getCount({ doubts = [] }: Round): "short" | "long" | undefined {
  const has = (code: Doubt["code"]) => doubts.some((one) => one.code === code);
  if (has("fewer-returns-than-paths")) return "short";
  return has("more-returns-than-paths") ? "long" : undefined;
}

/** Takes of one path on one day hardly differ; with a larger difference they are of two paths. */
const leastUnlike = 12;
/** Number of paths that must have unlike takes; also at least half of those with several takes. */
const leastPaths = 3;

/**
 * Takes that are probably of another input: returns that filled the sheet twice but are not two
 * takes.
 */
function findUnlikeTakes({ paths }: Round): readonly Doubt[] {
  const several = paths.filter(({ otherTakes = [] }) =>
    otherTakes.some(({ status }) => status === "measured"),
  );
  const unlike = several.filter(({ readings, otherTakes = [] }) => {
    const own = computePathFingerprint({ readings, curves: {} });
    return otherTakes.some(
      (one) =>
        one.status === "measured" &&
        computeUnlikeness(own, computePathFingerprint({ readings: one.readings, curves: {} })) >
          leastUnlike,
    );
  });
  if (unlike.length < leastPaths || 2 * unlike.length < several.length) return [];
  const without = paths.filter(({ status }) => status === "missing").map(({ path }) => path);
  const [first, last] = [without[0], without.at(-1)];
  const fits = without.length === several.length && first !== undefined && last !== undefined;
  return [
    {
      code: "takes-unlike",
      paths: unlike.map(({ path }) => path),
      ...(fits ? { instead: [first, last] as const } : {}),
    },
  ];
}
