import { type Standing, seriousFindings } from "../standing.js";
import type { RoundPath } from "../types.js";
import type { Change, CurveChange, PathOpinion, PathState, ReadingChange } from "./types.js";

/** A path in one round, and what was thought of it there. */
export interface Judged {
  readonly path: RoundPath;
  readonly standing: Standing;
}

export function opinionOf({ path, standing }: Judged): PathOpinion {
  const [first] = path.causes;
  return {
    standing,
    ...(first === undefined ? {} : { cause: first.cause, causeName: first.name }),
  };
}

/** What became of a path that both rounds know. */
export function stateOf(
  earlier: Judged,
  later: Judged,
  readings: readonly ReadingChange[],
  curves: readonly CurveChange[],
): PathState {
  const [badThen, badNow] = [isBad(earlier), isBad(later)];
  // A path that passes nothing has no readings, and yet more to say than any other.
  if (isDead(earlier) || isDead(later)) {
    if (isDead(earlier) && isDead(later)) return "fault-still";
    if (isDead(later)) return badNow ? (badThen ? "other-fault" : "new-fault") : "set-wrong";
    if (later.path.status !== "measured") return "no-partner";
    if (badNow) return "other-fault";
    return badThen ? "fault-gone" : "set-right";
  }
  if (earlier.path.status !== "measured" || later.path.status !== "measured") return "no-partner";
  const moved = [...readings, ...curves].filter(({ real }) => real);
  const about = (judged: Judged) => movedFindings(judged, readings, curves);
  if (badThen && badNow) {
    const other = earlier.path.causes[0]?.cause !== later.path.causes[0]?.cause;
    return other && has(about(later), "worse") ? "other-fault" : "fault-still";
  }
  if (badNow) return has(about(later), "worse") ? "new-fault" : "unsure";
  if (later.standing === "setting" && earlier.standing !== "setting") {
    if (badThen && about(earlier).length > 0) return "fault-gone";
    return about(later).length > 0 ? "set-wrong" : "unsure";
  }
  if (badThen) return about(earlier).length > 0 ? "fault-gone" : "unsure";
  if (earlier.standing === "setting" && later.standing !== "setting") {
    return about(earlier).length > 0 ? "set-right" : "unsure";
  }
  if (has(moved, "worse")) return "drift";
  return has(moved, "better") ? "better" : "steady";
}

function isBad({ standing }: Judged): boolean {
  return standing === "service" || standing === "watch";
}

/** A capture was made and nothing of the signal came back. */
function isDead({ path }: Judged): boolean {
  return path.findings.some(({ reading }) => reading === "return");
}

/** Real changes of what a path stands out by. */
function movedFindings(
  { path }: Judged,
  readings: readonly ReadingChange[],
  curves: readonly CurveChange[],
): readonly Change[] {
  const named = new Set(seriousFindings(path).map(({ reading }) => reading));
  return [
    ...readings.filter(({ reading, real }) => real && named.has(reading)),
    ...curves.filter(({ curve, real }) => real && named.has(curve)),
  ];
}

function has(changes: readonly Change[], course: Change["course"]): boolean {
  return changes.some((change) => change.course === course);
}
