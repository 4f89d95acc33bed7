import { findCurveOfFinding } from "../measure/curve-kinds.js";
import { minSiblings } from "../rank/family-stats.js";
import type { RoundPath } from "./types.js";

/** The verdict on a path, worst first. */
export type Standing = "service" | "watch" | "setting" | "alike" | "unjudged" | "unmeasured";

/** What the standing of a path is derived from. */
export interface JudgedPath extends Pick<RoundPath, "path" | "family" | "status" | "oddness"> {
  readonly findings: readonly Pick<RoundPath["findings"][number], "severity">[];
  readonly causes: readonly Pick<RoundPath["causes"][number], "kind">[];
}

/** The part of a round that its paths' standing is derived from. */
export interface JudgedRound<P extends JudgedPath = JudgedPath> {
  readonly paths: readonly P[];
}

/** The paths of each standing, the oddest first. */
export function groupByStanding<P extends JudgedPath>(
  round: JudgedRound<P>,
): Readonly<Record<Standing, readonly P[]>> {
  const standing = createStandingReader(round);
  const by: Record<Standing, P[]> = {
    service: [],
    watch: [],
    setting: [],
    alike: [],
    unjudged: [],
    unmeasured: [],
  };
  for (const path of round.paths) by[standing(path)].push(path);
  for (const paths of Object.values(by)) paths.sort((a, b) => b.oddness - a.oddness);
  return by;
}

/** The standing of a round's paths: worst finding, unless the likeliest cause is not a fault. */
export function createStandingReader(round: JudgedRound): (path: JudgedPath) => Standing {
  const small = new Set(listSmallFamilies(round));
  return (path) => {
    const serious = listSeriousFindings(path);
    if (serious.length === 0) {
      if (path.status !== "measured") return "unmeasured";
      return small.has(path.family) ? "unjudged" : "alike";
    }
    const first = path.causes[0];
    if (first && first.kind !== "fault") return "setting";
    return serious.some((f) => f.severity === "service") ? "service" : "watch";
  };
}

/** Findings that are more than a remark. */
export function listSeriousFindings<F extends JudgedPath["findings"][number]>({
  findings,
}: {
  readonly findings: readonly F[];
}): readonly F[] {
  return findings.filter((f) => f.severity !== "remark");
}

/** Families with measured paths, but too few to be compared with each other. */
export function listSmallFamilies({ paths }: JudgedRound): readonly string[] {
  const sizes = new Map<string, number>();
  for (const { family, status } of paths) {
    if (status === "measured") sizes.set(family, (sizes.get(family) ?? 0) + 1);
  }
  return [...sizes].filter(([, size]) => size < minSiblings).map(([family]) => family);
}

/** The curve that a finding is about: `response`, or `distortion` of `distortionCurve`. */
export function getCurveId(finding: string): string {
  return findCurveOfFinding(finding)?.id ?? finding;
}
