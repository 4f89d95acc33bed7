import { buildDeskReference } from "../analysis/judge/desk-reference.js";
import { rankAndDiagnose } from "../analysis/judge/rank-and-diagnose.js";
import type { ReadCapture } from "../analysis/read/read-captures.js";
import { applyCalibration } from "../analysis/takes/apply-calibration.js";
import { type ChosenTake, chooseTakes } from "../analysis/takes/choose-takes.js";
import { dropCopies } from "../analysis/takes/copies.js";
import type { MeasuredTakes } from "../analysis/takes/measure-takes.js";
import { defaultExpectations } from "../desk/expectations.js";
import type { Desk, DeskPath } from "../desk/types.js";
import type { Cause } from "../diagnose/types.js";
import {
  computePathFingerprint,
  computeUnlikeness,
  type Fingerprint,
} from "../history/order/fingerprint.js";
import { toPathToRank } from "../history/to-path-to-rank.js";
import type { Round, UsedCalibration } from "../history/types.js";
import { minSiblings, type PathToRank } from "../rank/family-stats.js";
import { findBeyondExpectation } from "../rank/shared/compare-desk.js";
import { compareSides } from "../rank/shared/compare-sides.js";
import type { PlacedInput, SharedFault } from "../rank/shared/types.js";
import type { Finding } from "../rank/types.js";
import type { Answer, AnswerBasis } from "./types.js";

/** What a sitting has heard so far. */
export interface SittingToJudge {
  readonly desk: Desk;
  /** Levels in dBFS. */
  readonly recorded: MeasuredTakes;
  readonly captures: readonly Pick<ReadCapture, "info">[];
  readonly calibration: UsedCalibration | undefined;
  /** Paths from which nothing came back. */
  readonly silent: readonly string[];
  /** The last round that can be compared with this one. */
  readonly earlier: Round | undefined;
}

/** What can be said of a sitting's paths so far. */
export interface SittingVerdict {
  readonly answers: ReadonlyMap<string, Answer>;
  /** What all paths share. */
  readonly shared: readonly SharedFault[];
}

/**
 * From this many of a family on, siblings are compared with each other; until then the last round
 * is used.
 */
const enoughSiblings = minSiblings + 1;
/**
 * By how much a return must fit another path's last round better than its own, natural logarithm.
 */
const leastGain = 12;

/**
 * Judges every path of a sitting by what has been heard so far: by its siblings; before there are
 * enough of them by those of the last round; by nothing where there is neither.
 *
 * @returns one answer for each path with a return, or named silent
 */
export function judgeSitting(sitting: SittingToJudge): SittingVerdict {
  const { desk, captures, silent, earlier } = sitting;
  const recorded = dropCopies(sitting.recorded);
  const applied = applyCalibration(recorded, captures, desk, sitting.calibration);
  const chosen = chooseTakes(applied.takes, new Map());
  const count = countMeasured(desk.paths, chosen);
  const before = new Map((earlier?.paths ?? []).map((one) => [one.path, one]));
  const usesEarlier = ({ family }: DeskPath) => (count.get(family) ?? 0) < enoughSiblings;
  const inputs = desk.paths.map((path): PathToRank => {
    const own = chosen.get(path.path)?.counts;
    const head = { path: path.path, family: path.family };
    if (own?.measurement) return { ...head, measurement: own.measurement };
    const isNamed = silent.includes(path.path);
    const unheard = own?.unheard ?? (isNamed ? ({ code: "named-silent" } as const) : undefined);
    if (unheard !== undefined) return { ...head, unheard };
    const stored = usesEarlier(path) && own === undefined ? before.get(path.path) : undefined;
    return stored === undefined ? head : { ...toPathToRank(stored), family: path.family };
  });
  const judged = rankAndDiagnose(desk, inputs);
  const prints = new Map(
    [...before.values()].flatMap((one): [string, Fingerprint][] =>
      one.status === "measured" ? [[one.path, computePathFingerprint(one)]] : [],
    ),
  );
  const reference = buildDeskReference(
    { ...desk, expectations: desk.expectations ?? defaultExpectations },
    {
      calibration: applied.calibration ?? null,
      captures: captures.map(({ info }) => ({ bits: info.bits })),
    },
    undefined,
  );
  const fits = findBetterFits(desk.paths, prints, chosen);
  const answers = new Map<string, Answer>();
  desk.paths.forEach((path, i) => {
    const take = chosen.get(path.path);
    if (take === undefined && !silent.includes(path.path)) return;
    const siblings = (count.get(path.family) ?? 0) - (take?.counts.measurement ? 1 : 0);
    const hasEarlier = inputs.some(
      (one, k) => one.family === path.family && one.measurement && !chosen.has(desk.paths[k].path),
    );
    const against: AnswerBasis = hasEarlier ? "last-round" : siblings > 0 ? "siblings" : "nothing";
    const { findings, causes } = judged.paths[i];
    const fit = fits.get(path.path);
    const measurement = take?.counts.measurement;
    const beyond =
      against === "nothing" && measurement !== undefined
        ? findBeyondExpectation({ ...inputs[i], strip: path.strip, input: path.input }, reference)
        : [];
    answers.set(path.path, {
      path: path.path,
      take: take === undefined ? 1 : take.others.length + 1,
      against,
      siblings,
      ...describe(take, findings, causes, against),
      ...(beyond.length === 0 ? {} : { beyond }),
      ...(fit === undefined ? {} : { fits: fit }),
    });
  });
  const measured = inputs.flatMap((one, i): PlacedInput[] => {
    const { strip, input, path } = desk.paths[i];
    return chosen.get(path)?.counts.measurement ? [{ ...one, strip, input }] : [];
  });
  return { answers, shared: compareSides(measured, reference) };
}

function countMeasured(
  paths: readonly DeskPath[],
  chosen: ReadonlyMap<string, ChosenTake>,
): ReadonlyMap<string, number> {
  const count = new Map<string, number>();
  for (const { path, family } of paths) {
    if (chosen.get(path)?.counts.measurement) count.set(family, (count.get(family) ?? 0) + 1);
  }
  return count;
}

type Standing = Pick<Answer, "standing" | "findings" | "cause" | "because" | "clipped">;

function describe(
  take: ChosenTake | undefined,
  found: readonly Finding[],
  causes: readonly Cause[],
  against: AnswerBasis,
): Standing {
  const counts = take?.counts;
  if (counts?.unusable !== undefined) {
    return { standing: "unusable", findings: [], because: counts.unusable };
  }
  const [cause] = causes;
  const likely = cause === undefined ? {} : { cause };
  if (counts?.measurement === undefined) {
    const heard = counts?.unheard;
    return {
      standing: "unheard",
      findings: [],
      ...likely,
      ...(heard === undefined ? {} : { because: { code: "nothing-back", heard } as const }),
    };
  }
  const clipped = counts.doubts?.includes("clipped") ? ({ clipped: true } as const) : {};
  const findings = found
    .filter(({ severity }) => severity !== "remark")
    .sort((a, b) => Math.abs(b.score) - Math.abs(a.score));
  if (findings.length === 0) {
    return { standing: against === "nothing" ? "unjudged" : "alike", findings, ...clipped };
  }
  const isService = findings.some(({ severity }) => severity === "service");
  const standing = cause && cause.kind !== "fault" ? "setting" : isService ? "service" : "watch";
  return { standing, findings, ...likely, ...clipped };
}

/**
 * The paths whose returns fit the last round of another path far better than that of their own, and
 * the path that each fits. A path that already has a return is not a candidate, unless that return
 * fits yet another path: after a skipped strip each return is one path off.
 */
function findBetterFits(
  paths: readonly DeskPath[],
  prints: ReadonlyMap<string, Fingerprint>,
  heard: ReadonlyMap<string, ChosenTake>,
): ReadonlyMap<string, string> {
  const fits = new Map(
    paths.flatMap(({ path }): [string, string][] => {
      const fit = findBetterFit(path, heard.get(path), prints);
      return fit === undefined ? [] : [[path, fit]];
    }),
  );
  for (let dropped = true; dropped; ) {
    dropped = false;
    for (const [path, fit] of fits) {
      if (!heard.has(fit) || fits.has(fit)) continue;
      fits.delete(path);
      dropped = true;
    }
  }
  return fits;
}

function findBetterFit(
  path: string,
  take: ChosenTake | undefined,
  prints: ReadonlyMap<string, Fingerprint>,
): string | undefined {
  const measurement = take?.counts.measurement;
  const own = prints.get(path);
  if (measurement === undefined || own === undefined) return undefined;
  const print = computePathFingerprint(measurement);
  const unlike = computeUnlikeness(print, own);
  let best: { readonly path: string; readonly unlike: number } | undefined;
  let second = Number.POSITIVE_INFINITY;
  for (const [other, then] of prints) {
    if (other === path) continue;
    const much = computeUnlikeness(print, then);
    if (best === undefined || much < best.unlike) {
      second = best?.unlike ?? second;
      best = { path: other, unlike: much };
    } else if (much < second) second = much;
  }
  // A fault makes a return differ from its own path, but does not make it fit another one.
  if (best === undefined || unlike - best.unlike < leastGain || second - best.unlike < 1) {
    return undefined;
  }
  return best.unlike < leastGain ? best.path : undefined;
}
