import type { PathToRank } from "../family-stats.js";
import { getUsualSecond, toPartnerPath } from "../partner-path.js";
import { compareDesk, compareWithOther, type DeskReference } from "./compare-desk.js";
import { isSameMechanism } from "./rows.js";
import type { PlacedInput, SharedFault } from "./types.js";

/** A path's two sides, the second one as a path of its own. */
interface Sides {
  readonly first: PlacedInput;
  readonly second: PlacedInput;
  readonly side: "left" | "right";
}

/**
 * Judges what all paths of an input, or of the desk, have in common as {@link compareDesk} does,
 * and, for a stereo bus, each side of it: by an earlier round, by the desk's expectations, and by
 * the other side, since an amplifier after the pan fails on one side only.
 *
 * @param paths without the contributions shared by only some strips
 * @returns faults of both sides, and of one with its `part.side`; `paths` are those of the round
 *
 * @example
 * compareSides([], { expectations: {}, unit: "dBFS", referenceDbu: 4, nominalDbu: {} }); // []
 */
export function compareSides(
  paths: readonly PlacedInput[],
  reference: DeskReference,
): readonly SharedFault[] {
  const first = compareDesk(paths, reference);
  const side = getUsualSecond(paths);
  // A path whose usual first side is silent is not used.
  const stereo = paths.flatMap(toSides).filter((one) => one.side === side);
  if (side === undefined) return first;
  const other = side === "left" ? "right" : "left";
  const { earlier, ...now } = reference;
  const before = earlier?.flatMap((path) => toSides(path).map(({ second }) => second));
  const seconds = stereo.map(({ second }) => second);
  const second = compareDesk(seconds, before === undefined ? now : { ...now, earlier: before });
  const isLike = (a: SharedFault) => (b: SharedFault) => isSameMechanism(a.aspect, b.aspect);
  const isWhole = stereo.length === paths.filter(({ measurement }) => measurement).length;
  const own = new Map(stereo.map((one) => [one.second.path, one.first.path]));
  const named = (fault: SharedFault, of: "left" | "right"): SharedFault => ({
    ...fault,
    // A changed level setting affects both sides.
    part: {
      ...fault.part,
      kind: fault.part.kind === "level" ? "master" : fault.part.kind,
      side: of,
    },
    paths: fault.paths.map((path) => own.get(path) ?? path),
  });
  const told = [
    ...first.map((fault) => (isWhole && !second.some(isLike(fault)) ? named(fault, other) : fault)),
    ...second.filter((fault) => !first.some(isLike(fault))).map((fault) => named(fault, side)),
  ];
  const firsts = stereo.map((one) => one.first);
  const apart = [
    ...compareWithOther(seconds, asSiblings(firsts, seconds), reference).map((one) =>
      named(one, side),
    ),
    ...compareWithOther(firsts, asSiblings(seconds, firsts), reference).map((one) =>
      named(one, other),
    ),
  ];
  return [...told, ...apart.filter((fault) => !told.some(isLike(fault)))];
}

function toSides(first: PlacedInput): readonly Sides[] {
  const side = first.measurement?.partner?.side;
  const second = toPartnerPath(first);
  if (side === undefined || second === undefined) return [];
  return [{ first, second: { ...second, strip: first.strip, input: first.input }, side }];
}

/** Paths under the names of their other sides. */
function asSiblings(paths: readonly PlacedInput[], named: readonly PathToRank[]) {
  return paths.map((one, i) => ({ ...one, path: named[i].path, family: named[i].family }));
}
