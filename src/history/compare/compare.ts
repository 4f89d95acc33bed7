import { groupBy } from "../../text/group-by.js";
import { toolVersion } from "../../version.js";
import { getReason } from "../get-reason.js";
import { createStandingReader } from "../standing.js";
import type { Round, RoundPath } from "../types.js";
import { bringTogether } from "./common-units.js";
import { assertBaseline, type Conditions, findConditions } from "./conditions.js";
import { type ComparedCurves, compareCurves } from "./curves.js";
import type { Incomparable, NoPartner, Unmeasured } from "./incomparable.js";
import { joinShifts } from "./join-shifts.js";
import { type PathPair, pairFirstSides, pairSecondSides } from "./path-pairs.js";
import { compareReadings, type FamilyShift } from "./readings.js";
import { createReferenceSideReader } from "./reference-side.js";
import { classifyState, getOpinion, type RatedPath } from "./states.js";
import type {
  CommonShift,
  CurveChange,
  PathComparison,
  ReadingChange,
  RoundComparison,
} from "./types.js";

/**
 * Compares a round with an earlier one of the same desk: path by path, reading by reading, curve by
 * curve.
 *
 * A change common to all siblings comes from the interface, the temperature, the run sheet or their
 * common age. It is found robustly, reported once and subtracted; what is left of each path's
 * difference is judged against the uncertainty of both measurements, the repeatability and the
 * siblings' scatter.
 *
 * @param latest the round in question
 * @param baseline an earlier one
 * @param which curves: `telling` is enough for the state of each path, and takes half the time
 * @throws DeskroundError `usage`: the same round, rounds of two desks, a baseline that is later
 */
export function compareRounds(
  latest: Round,
  baseline: Round,
  which: ComparedCurves = "all",
): RoundComparison {
  assertBaseline(baseline, latest);
  const held = findConditions(baseline, latest);
  const { earlier, later, conditions } = bringTogether(baseline, latest);
  const before = new Map(earlier.paths.map((path) => [path.path, path]));
  const first = compareSides(pairFirstSides(before, later.paths), held, which);
  const second = compareSides(pairSecondSides(before, later.paths), held, which);
  const [standingThen, standingNow] = [createStandingReader(earlier), createStandingReader(later)];
  const judgedThen = (path: RoundPath): RatedPath => ({ path, standing: standingThen(path) });
  const judgedNow = (path: RoundPath): RatedPath => ({ path, standing: standingNow(path) });
  const sideOf = createReferenceSideReader(earlier, later);
  const present = new Set(later.paths.map(({ path }) => path));
  // A path that a partial round did not include does not count as missing its counterpart.
  const ofLater = later.paths.filter(({ path }) => !earlier.partial || before.has(path));
  const ofEarlier = later.partial ? [] : earlier.paths.filter(({ path }) => !present.has(path));
  return {
    format: "deskround-comparison",
    version: 1,
    desk: later.desk.name,
    earlier: { id: earlier.id, date: earlier.date },
    later: { id: later.id, date: later.date },
    days: Math.round((Date.parse(later.date) - Date.parse(earlier.date)) / 86_400_000),
    tool: { name: "deskround", version: toolVersion },
    conditions: [...held.partial, ...held.differences, ...conditions],
    shifts: joinShifts([...first.shifts, ...second.shifts]).map((shift) =>
      withReferenceSide(shift, sideOf),
    ),
    paths: [
      ...ofLater.map((path) => {
        const was = before.get(path.path);
        const [one, other] = [first.paths.get(path.path), second.paths.get(path.path)];
        return comparePath(was && judgedThen(was), judgedNow(path), one, other);
      }),
      ...ofEarlier.map((path) => comparePath(judgedThen(path), undefined, undefined, undefined)),
    ],
  };
}

/** A common shift with what the reference paths of both rounds show about it. */
function withReferenceSide(
  shift: CommonShift,
  sideOf: ReturnType<typeof createReferenceSideReader>,
): CommonShift {
  const reference = sideOf?.({ ...shift, change: shift.shift });
  return reference === undefined ? shift : { ...shift, reference };
}

/** Everything that was found on one side of a path. */
interface Found {
  readonly readings: readonly ReadingChange[];
  readonly notCompared: Readonly<Record<string, Incomparable>>;
  readonly curves: readonly CurveChange[];
}

function compareSides(pairs: readonly PathPair[], held: Conditions, which: ComparedCurves) {
  const families = groupBy(pairs, ({ family }) => family);
  const paths = new Map<string, Found>();
  const shifts: FamilyShift[] = [];
  for (const family of families.values()) {
    const readings = compareReadings(family, held);
    const curves = compareCurves(family, held, which);
    family.forEach(({ path }, k) => {
      paths.set(path, { ...readings.sides[k], curves: curves.changes[k] });
    });
    shifts.push(...readings.shifts, ...curves.shifts);
  }
  return { paths, shifts };
}

const nothing: Found = { readings: [], notCompared: {}, curves: [] };

function comparePath(
  earlier: RatedPath | undefined,
  later: RatedPath | undefined,
  first: Found = nothing,
  second: Found | undefined,
): PathComparison {
  const known = later ?? earlier;
  if (known === undefined) throw new Error("a path that neither round has");
  const { path, strip, input, family } = known.path;
  const all = second === undefined ? first : bothSides(first, second);
  const state =
    earlier && later ? classifyState(earlier, later, all.readings, all.curves) : "no-partner";
  return {
    path,
    strip,
    input,
    family,
    state,
    ...(state === "no-partner" ? { noPartner: findNoPartner(earlier?.path, later?.path) } : {}),
    ...(earlier === undefined ? {} : { earlier: getOpinion(earlier) }),
    ...(later === undefined ? {} : { later: getOpinion(later) }),
    ...first,
    ...(second === undefined ? {} : { partner: second }),
  };
}

function bothSides(first: Found, second: Found): Found {
  return {
    readings: [...first.readings, ...second.readings],
    notCompared: first.notCompared,
    curves: [...first.curves, ...second.curves],
  };
}

/** Why two rounds have nothing to compare on a path. */
function findNoPartner(earlier: RoundPath | undefined, later: RoundPath | undefined): NoPartner {
  if (earlier === undefined) return { code: "not-in-earlier" };
  if (later === undefined) return { code: "not-in-later" };
  const of = (path: RoundPath): Unmeasured | undefined =>
    path.status === "measured" ? undefined : { status: path.status, ...getReason(path) };
  const [then, now] = [of(earlier), of(later)];
  return {
    code: "not-measured",
    ...(then ? { earlier: then } : {}),
    ...(now ? { later: now } : {}),
  };
}
