import { getCurveId, listSeriousFindings, type Standing } from "../standing.js";
import type { RoundPath } from "../types.js";
import type { Change, CurveChange, PathOpinion, PathState, ReadingChange } from "./types.js";

/** A path in one round, with its verdict there. */
export interface RatedPath {
  readonly path: RoundPath;
  readonly standing: Standing;
}

/** The verdict of a round on a path: its standing and its likeliest cause. */
export function getOpinion({ path, standing }: RatedPath): PathOpinion {
  const [first] = path.causes;
  return {
    standing,
    ...(first === undefined ? {} : { cause: first.cause, causeName: first.name }),
  };
}

/** What became of a path that both rounds know. */
export function classifyState(
  earlier: RatedPath,
  later: RatedPath,
  readings: readonly ReadingChange[],
  curves: readonly CurveChange[],
): PathState {
  const [badThen, badNow] = [isBad(earlier), isBad(later)];
  // A path that passes nothing has no readings, but it is the worst result of all.
  if (isDead(earlier) || isDead(later)) {
    if (isDead(earlier) && isDead(later)) return "fault-still";
    if (isDead(later)) return badNow ? (badThen ? "other-fault" : "new-fault") : "set-wrong";
    if (later.path.status !== "measured") return "no-partner";
    if (badNow) return "other-fault";
    return badThen ? "fault-gone" : "set-right";
  }
  if (earlier.path.status !== "measured" || later.path.status !== "measured") return "no-partner";
  const moved = [...readings, ...curves].filter(({ real }) => real);
  const about = (judged: RatedPath) => movedFindings(judged, readings, curves);
  if (badThen && badNow) {
    const other = earlier.path.causes[0]?.cause !== later.path.causes[0]?.cause;
    return other && has(about(later), "worse") ? "other-fault" : "fault-still";
  }
  if (badNow) return has(about(later), "worse") ? "new-fault" : "unsure";
  const gone = hasGone(earlier, readings, curves);
  if (later.standing === "setting" && earlier.standing !== "setting") {
    if (badThen && gone) return "fault-gone";
    return about(later).length > 0 ? "set-wrong" : "unsure";
  }
  // With too few siblings nothing stands out any more, whether repaired or not.
  const otherwise = later.standing === "unjudged" ? "fault-still" : "unsure";
  if (badThen) return gone ? "fault-gone" : otherwise;
  if (earlier.standing === "setting" && later.standing !== "setting") {
    return gone ? "set-right" : "unsure";
  }
  if (has(moved, "worse")) return "drift";
  return has(moved, "better") ? "better" : "steady";
}

function isBad({ standing }: RatedPath): boolean {
  return standing === "service" || standing === "watch";
}

/** A recording was made, but no signal returned. */
function isDead({ path }: RatedPath): boolean {
  return path.findings.some(({ reading }) => reading === "return");
}

/** Significant changes in the findings of a path. */
function movedFindings(
  { path }: RatedPath,
  readings: readonly ReadingChange[],
  curves: readonly CurveChange[],
): readonly Change[] {
  const named = new Set(listSeriousFindings(path).map(({ reading }) => reading));
  const curved = new Set([...named].map(getCurveId));
  return [
    ...readings.filter(({ reading, real }) => real && named.has(reading)),
    ...curves.filter(({ curve, real }) => real && curved.has(curve)),
  ];
}

/** Share of a finding that must have gone before it counts as repaired. */
const goneShare = 0.5;

/** Whether a finding of a path moved back significantly, by at least half. */
function hasGone(
  { path }: RatedPath,
  readings: readonly ReadingChange[],
  curves: readonly CurveChange[],
): boolean {
  return listSeriousFindings(path).some(({ reading, deviation }) => {
    const changes = [
      ...readings.filter((change) => change.reading === reading),
      ...curves.filter((change) => change.curve === getCurveId(reading)),
    ];
    return changes.some(({ real, own }) => real && -own / deviation >= goneShare);
  });
}

function has(changes: readonly Change[], course: Change["course"]): boolean {
  return changes.some((change) => change.course === course);
}
