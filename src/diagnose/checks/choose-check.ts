import type { StageRole } from "../../desk/stage-role.js";
import { type BenchStep, powerStates } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { noneOfThese } from "../causes/none-of-these.js";
import { findCause } from "../causes.js";
import type { Cause } from "../types.js";
import { type CheckKind, type CheckOutcome, checkKinds, openedMinutes } from "./check-kinds.js";
import { computeGoneShare } from "./compute-gone-share.js";
import type { CheckValue, ExpectedOutcome, NextCheck } from "./types.js";

/** What decides which checks can be made on a path. */
export interface CheckSituation {
  /** Stages of its strip; all kinds if the desk file names none. */
  readonly stages?: readonly StageRole[];
  /** Whether the strip has an input that the round did not measure. */
  readonly otherInput?: boolean;
  /** Minutes to take a strip out and put it back. */
  readonly pullMinutes: number;
  /** Checks that have already been made. */
  readonly done?: readonly string[];
}

/**
 * Minutes to set a strip as the sheet says, or to patch it again, and to record it again (a guess).
 */
const resetMinutes = 3;
/** Minutes to find an unknown cause. */
const unknownMinutes = noneOfThese.bench.minutes;
/** Probability that a confirming check is right (common practice, a guess). */
const settles = 0.93;
const slips = 0.05;
/** A setting that a check clears at least this often is corrected by it. */
const setsRight = 0.8;
/** Less likely causes are not listed with an outcome. */
const leastTold = 0.05;
const mostTold = 2;
/** Gains within this ratio of each other do not change the order of the list. */
const told = 3;

/** A cause as seen by the search for it. */
interface Suspect {
  readonly kind: CauseKind;
  readonly probability: number;
  readonly minutes: number;
}

/** Something to do that separates suspects. */
interface Candidate {
  readonly id: string;
  readonly step: BenchStep;
  readonly minutes: number;
  readonly setting?: string;
  readonly words: Readonly<Record<"gone" | "stays", string>>;
  goneOf(suspect: Suspect): number;
  /** Whether it also corrects the setting, so that the fault stays away. */
  readonly resets: boolean;
}

/**
 * The check that saves most minutes of search per minute that it takes (troubleshooting by expected
 * cost of repair: D. Heckerman, J. S. Breese, K. Rommelse, "Decision-theoretic troubleshooting",
 * Commun. ACM 38(3), 1995). Causes are tried in the order of their probability per minute that they
 * take. A check is worth the expected reduction of that search once its outcome is known, compared
 * with a search without it. A check at the closed desk that pays comes before all that need it
 * open: it cannot hurt anybody and does not take a day.
 *
 * @param causes of a path, with their probabilities; a single fault is assumed
 * @param situation of the path
 * @returns undefined if no check saves more than it costs, e.g. if one cause is almost certain
 * @example
 * const causes = [["low-cut-left-in", 0.5], ["dried-coupling-capacitor", 0.5]].map(
 *   ([id, probability]) => ({ ...describeCause(findCause(id)), probability, evidence: [] }),
 * );
 * chooseCheck(causes, { pullMinutes: 20 })?.check; // "low-cut"
 */
export function chooseCheck(
  causes: readonly Cause[],
  situation: CheckSituation,
): NextCheck | undefined {
  const suspects = listSuspects(causes);
  if (suspects === undefined) return undefined;
  const weighed = [...listClosed(situation), ...listOpened(suspects, situation)]
    .filter(({ id }) => !(situation.done ?? []).includes(id))
    .map((one) => ({ one, value: weighCheck(one, suspects, situation) }))
    .filter(({ value }) => value.savesMinutes > value.minutes)
    .sort(
      (a, b) =>
        powerRank(a.value) - powerRank(b.value) || b.value.gainPerMinute - a.value.gainPerMinute,
    );
  const [best, ...others] = weighed;
  if (best === undefined) return undefined;
  const { one, value } = best;
  return {
    ...value,
    todo: one.step.text,
    ...(one.setting === undefined ? {} : { setting: one.setting }),
    outcomes: listOutcomes(one, suspects),
    others: others.slice(0, told).map((other) => other.value),
  };
}

/** Closed desk before open; those that need it open are ordered by gain alone. */
const powerRank = ({ power }: CheckValue) => Math.min(1, powerStates.indexOf(power));

/** Causes with the minutes that each takes to try; none if probabilities are missing. */
function listSuspects(causes: readonly Cause[]): readonly Suspect[] | undefined {
  const known = causes.flatMap(({ cause, probability }) => {
    const kind = findCause(cause);
    return kind === undefined || probability === undefined ? [] : [{ kind, probability }];
  });
  if (known.length < causes.length) return undefined;
  const named = known.reduce((sum, { probability }) => sum + probability, 0);
  const left = Math.max(0, 1 - named);
  // Probabilities of causes present together add up to more than one: each is searched for.
  const all = left > 0 ? addUnknown(known, left) : known;
  const total = all.reduce((sum, { probability }) => sum + probability, 0);
  return all.map(({ kind, probability }) => ({
    kind,
    probability: probability / total,
    minutes: getRemedyMinutes(kind),
  }));
}

function addUnknown(
  known: readonly Omit<Suspect, "minutes">[],
  left: number,
): readonly Omit<Suspect, "minutes">[] {
  const at = known.findIndex(({ kind }) => kind.id === noneOfThese.id);
  if (at < 0) return [...known, { kind: noneOfThese, probability: left }];
  return known.map((one, k) => (k === at ? { ...one, probability: one.probability + left } : one));
}

function getRemedyMinutes({ kind, bench }: CauseKind): number {
  return kind === "fault" ? (bench?.minutes ?? unknownMinutes) : resetMinutes;
}

/**
 * Expected minutes of the search: the causes are tried one after the other until the right one is
 * found, those that pay best first, and before the first fault the strip is taken out.
 *
 * @param isLast whether a cause is found only after all others
 * @example
 * const kind = (id) => findCause(id);
 * const setting = { kind: kind("low-cut-left-in"), probability: 0.5, minutes: 3 };
 * const fault = { kind: kind("dried-coupling-capacitor"), probability: 0.5, minutes: 30 };
 * // The setting first, 3 minutes in any case; in half the cases the strip is pulled as well.
 * expectMinutes([setting, fault], 20); // 28
 */
export function expectMinutes(
  suspects: readonly Suspect[],
  pullMinutes: number,
  isLast: (one: Suspect) => boolean = () => false,
): number {
  const pays = (a: Suspect, b: Suspect) => b.probability * a.minutes - a.probability * b.minutes;
  const isFault = ({ kind }: Suspect) => kind.kind === "fault";
  const sorted = [...suspects].sort(pays);
  const first = sorted.filter((one) => !isLast(one));
  const outside = first.filter((one) => !isFault(one));
  const inside = first.filter(isFault);
  const last = sorted.filter(isLast);
  const orders = [
    [...outside, ...inside, ...last],
    [...inside, ...outside, ...last],
  ];
  return Math.min(...orders.map((order) => walk(order, isFault, pullMinutes)));
}

function walk(
  order: readonly Suspect[],
  isFault: (one: Suspect) => boolean,
  pullMinutes: number,
): number {
  let spent = 0;
  let expected = 0;
  let isOut = false;
  for (const one of order) {
    if (isFault(one) && !isOut) {
      spent += pullMinutes;
      isOut = true;
    }
    spent += one.minutes;
    expected += one.probability * spent;
  }
  return expected;
}

/** Checks at the closed desk that are possible on this path. */
function listClosed({ stages, otherInput = false }: CheckSituation): readonly Candidate[] {
  return checkKinds
    .filter((kind: CheckKind) => {
      if (kind.id === "other-input") return otherInput;
      return kind.stage === undefined || stages === undefined || stages.includes(kind.stage);
    })
    .map((kind: CheckKind): Candidate => {
      const isPass = kind.looksAt === "controls";
      return {
        id: kind.id,
        step: kind.step,
        minutes: kind.minutes,
        ...(isPass ? {} : { setting: kind.id }),
        words: kind.words,
        goneOf: ({ kind: cause }) => computeGoneShare(cause, kind.id),
        resets: kind.looksAt !== "controls" && kind.id !== "other-input",
      };
    });
}

/** The check that confirms each fault once the desk is open. */
function listOpened(
  suspects: readonly Suspect[],
  { pullMinutes }: CheckSituation,
): readonly Candidate[] {
  return suspects.flatMap(({ kind: own }): Candidate[] => {
    const { settle } = own;
    if (settle.power === "in use") return [];
    return [
      {
        id: `settle:${own.id}`,
        step: settle,
        minutes: openedMinutes[settle.power] + pullMinutes,
        words: { gone: `it is this: ${own.name}`, stays: "it is another" },
        goneOf: ({ kind }) => (kind.id === own.id ? settles : slips),
        resets: false,
      },
    ];
  });
}

function weighCheck(
  one: Candidate,
  suspects: readonly Suspect[],
  { pullMinutes }: CheckSituation,
): CheckValue {
  // Without the check, a setting that it corrects would be found only at the end.
  const isLeft = (suspect: Suspect) =>
    one.resets && suspect.kind.kind !== "fault" && one.goneOf(suspect) >= setsRight;
  const now = expectMinutes(suspects, pullMinutes, isLeft);
  // The strip is out by then.
  const pull = one.step.power === "in use" ? pullMinutes : 0;
  const branches = (["gone", "stays"] as const).map((outcome) => branchOf(one, outcome, suspects));
  const after = branches.reduce(
    (sum, { probability, suspects: left }) => sum + probability * expectMinutes(left, pull),
    0,
  );
  const entropy = branches.reduce(
    (sum, { probability, suspects: left }) => sum + probability * entropyOf(left),
    0,
  );
  const savesMinutes = Math.max(0, now - after);
  return {
    check: one.id,
    power: one.step.power,
    minutes: one.minutes,
    savesMinutes: round(savesMinutes),
    gainPerMinute: round(savesMinutes / one.minutes),
    bits: round(Math.max(0, entropyOf(suspects) - entropy)),
  };
}

/** The suspects after an outcome (Bayes), and how likely the outcome is. */
function branchOf(
  one: Candidate,
  outcome: CheckOutcome,
  suspects: readonly Suspect[],
): { readonly probability: number; readonly suspects: readonly Suspect[] } {
  const joint = suspects.map((suspect) => {
    const gone = one.goneOf(suspect);
    return suspect.probability * (outcome === "gone" ? gone : 1 - gone);
  });
  const probability = joint.reduce((sum, share) => sum + share, 0);
  const isReset = outcome === "gone" && one.resets;
  return {
    probability,
    suspects: suspects.map((suspect, k) => ({
      ...suspect,
      probability: probability === 0 ? 0 : joint[k] / probability,
      minutes: isReset && suspect.kind.kind !== "fault" ? 0 : suspect.minutes,
    })),
  };
}

function listOutcomes(one: Candidate, suspects: readonly Suspect[]): readonly ExpectedOutcome[] {
  return (["gone", "stays"] as const).map((outcome) => {
    const branch = branchOf(one, outcome, suspects);
    const causes = [...branch.suspects]
      .sort((a, b) => b.probability - a.probability)
      .filter(({ probability }) => probability >= leastTold)
      .slice(0, mostTold)
      .map(({ kind, probability }) => ({ cause: kind.id, probability: round(probability) }));
    return { outcome, words: one.words[outcome], probability: round(branch.probability), causes };
  });
}

/** Shannon entropy, bits. */
function entropyOf(suspects: readonly Suspect[]): number {
  return suspects.reduce((sum, { probability: p }) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);
}

const round = (value: number) => Math.round(100 * value) / 100;
