import { median, qn } from "../../dsp/robust.js";
import type { Round, RoundPath, RoundShared } from "../../history/types.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { getSharedLeast, isSameMechanism } from "../../rank/shared/rows.js";
import { groupBy } from "../../text/group-by.js";
import type { HeldRounds } from "./judge-path.js";
import { addsAsPower, grantedShare, type Probe, type ProbeValue, readProbe } from "./probe.js";
import { hasPowerCleared } from "./remaining.js";
import type { RetestScope } from "./retest-scope.js";
import type { Outcome, SharedOutcome } from "./types.js";

/**
 * Judges the shared faults of the earlier round that concern strips worked on, or whose part was
 * worked on. The difference that showed the fault is measured again on those of its paths in the
 * re-test: relative to paths outside it, if some were measured again, or else to the values
 * expected then. For readings that add as power, a risen floor can hide it.
 */
export function judgeSharedFaults(
  { base, round }: Pick<HeldRounds, "base" | "round">,
  { chosen }: Pick<RetestScope, "chosen">,
): readonly SharedOutcome[] {
  const touched = new Set(chosen.touched);
  const strips = new Map(base.paths.map(({ path, strip }) => [path, strip]));
  return (base.shared ?? [])
    .filter((fault) => !isOfRecording(fault))
    .filter(
      ({ paths }) =>
        chosen.worksOnShared === true || paths.some((path) => touched.has(strips.get(path) ?? "")),
    )
    .map((fault) => judgeSharedFault(fault, base.paths, round));
}

/** A level changed during the recording of that round needs no repair. */
function isOfRecording({ part, against }: RoundShared): boolean {
  return part.kind === "level" && against !== "expectation";
}

/** Shared faults of the re-test that the earlier round did not have. */
export function listNewSharedFaults({
  base,
  round,
}: Pick<HeldRounds, "base" | "round">): readonly RoundShared[] {
  return (round.shared ?? []).filter(
    (fault) =>
      // Changes since the earlier round are judged by the bounds for changes.
      fault.against !== "baseline" &&
      fault.severity === "service" &&
      !isOfRecording(fault) &&
      findSame(fault, base.shared ?? []) === undefined,
  );
}

/** The fault among others that is most likely the same one. */
function findSame(fault: RoundShared, others: readonly RoundShared[]): RoundShared | undefined {
  return others.find(
    ({ aspect, paths }) =>
      isSameMechanism(aspect, fault.aspect) && paths.some((path) => fault.paths.includes(path)),
  );
}

interface Both {
  readonly family: string;
  readonly isInside: boolean;
  readonly was: RoundPath;
  readonly now: RoundPath;
}

function judgeSharedFault(
  fault: RoundShared,
  before: readonly RoundPath[],
  round: Round,
): SharedOutcome {
  const members = new Set(fault.paths);
  const now = new Map(round.paths.map((path) => [path.path, path]));
  const both = before.flatMap((was): Both[] => {
    const is = now.get(was.path);
    return is === undefined
      ? []
      : [{ family: was.family, isInside: members.has(was.path), was, now: is }];
  });
  const inside = both.filter(({ isInside }) => isInside);
  const [finding] = fault.findings;
  if (finding === undefined || inside.length === 0) return { fault, outcome: "not shown" };
  if (finding.reading === "return") return { fault, outcome: judgeSilence(inside) };
  const probe: Probe = { reading: finding.reading, atHz: finding.atHz };
  const families = [...groupBy(both, ({ family }) => family).values()];
  const judged = families.flatMap((own) => judgeFamily(fault, probe, own, before, members) ?? []);
  if (judged.length === 0) return { fault, outcome: "cannot tell" };
  const worst = judged.reduce((a, b) =>
    gravity.indexOf(b.outcome) < gravity.indexOf(a.outcome) ? b : a,
  );
  if (fault.against !== "expectation") return worst;
  // The re-test's round was judged by the same expectations, from the current desk file.
  if (findSame(fault, round.shared ?? []) === undefined) return { ...worst, outcome: "mended" };
  return worst.outcome === "mended" ? { ...worst, outcome: "better" } : worst;
}

const gravity: readonly Outcome[] = [
  "worse",
  "unchanged",
  "better",
  "cannot tell",
  "not shown",
  "mended",
];

function judgeSilence(inside: readonly Both[]): Outcome {
  const heard = inside.filter(({ now }) => now.status === "measured").length;
  if (heard === inside.length) return "mended";
  return heard === 0 ? "unchanged" : "better";
}

/** Judges a fault on one family: its paths inside and outside the fault, then and now. */
function judgeFamily(
  fault: RoundShared,
  probe: Probe,
  own: readonly Both[],
  before: readonly RoundPath[],
  members: ReadonlySet<string>,
): SharedOutcome | undefined {
  const [{ family }] = own;
  const siblings = before.filter((one) => one.family === family && one.status === "measured");
  const then = {
    inside: valuesOf(
      siblings.filter(({ path }) => members.has(path)),
      probe,
    ),
    outside: valuesOf(
      siblings.filter(({ path }) => !members.has(path)),
      probe,
    ),
  };
  const pairs = own.flatMap(({ isInside, was, now }) => {
    const [a, b] = [readProbe(was, probe), readProbe(now, probe)];
    return a === undefined || b === undefined || a.unit !== b.unit ? [] : [{ isInside, a, b }];
  });
  const inside = pairs.filter(({ isInside }) => isInside);
  const outside = pairs.filter(({ isInside }) => !isInside);
  if (then.inside.length === 0 || inside.length === 0) return undefined;
  const was = median(then.inside.map(({ value }) => value));
  const [finding] = fault.findings;
  const expected =
    fault.against === "siblings" && then.outside.length > 0
      ? median(then.outside.map(({ value }) => value))
      : was - finding.deviation;
  const difference = was - expected;
  const least = getSharedLeast(finding.reading, fault.aspect);
  // A family that hardly shows the fault cannot show whether it is gone.
  if (difference * finding.deviation <= 0 || Math.abs(difference) < least / 2) return undefined;
  const shift = outside.length === 0 ? 0 : median(outside.map(({ a, b }) => b.value - a.value));
  const change = median(inside.map(({ a, b }) => b.value - a.value));
  const left = difference + change - shift;
  const doubt = errorOf(inside, probe) + errorOf(outside, probe);
  const harm = Math.sign(finding.deviation);
  const stays = harm * left >= least;
  const told = { fault, difference, left };
  if (probe.reading === getReadingId("polarity")) {
    return { ...told, outcome: Math.abs(left) < 1 ? "mended" : "unchanged" };
  }
  const moved = harm * (difference - left);
  if (stays) {
    const isReal = Math.abs(moved) > Math.max(doubt, least / 2);
    return { ...told, outcome: !isReal ? "unchanged" : moved > 0 ? "better" : "worse" };
  }
  if (!addsAsPower(probe)) {
    return { ...told, outcome: moved > doubt ? "mended" : "cannot tell" };
  }
  const power = {
    before: was,
    beforeUncertainty: 0,
    expected,
    now: expected + shift + left,
    nowUncertainty: 0,
    shift,
    shiftError: doubt / 2,
    repeat: grantedShare * least,
    scatter: then.outside.length < 3 ? 0 : qn(then.outside.map(({ value }) => value)),
    levelShift: 0,
  };
  return { ...told, outcome: hasPowerCleared(power) ? "mended" : "cannot tell" };
}

function valuesOf(paths: readonly RoundPath[], probe: Probe): readonly ProbeValue[] {
  return paths.flatMap((path) => readProbe(path, probe) ?? []);
}

/** Expanded uncertainty of the median of differences. */
function errorOf(
  pairs: readonly { readonly a: ProbeValue; readonly b: ProbeValue }[],
  probe: Probe,
): number {
  if (pairs.length === 0) return 0;
  const differences = pairs.map(({ a, b }) => b.value - a.value);
  const spread =
    pairs.length < 3
      ? median(pairs.map(({ a, b }) => Math.hypot(a.uncertainty, b.uncertainty)))
      : 2 * qn(differences);
  return addsAsPower(probe)
    ? Math.max(1, spread / Math.sqrt(pairs.length))
    : spread / Math.sqrt(pairs.length);
}
