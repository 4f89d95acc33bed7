import type { StageRole } from "../../desk/stage-role.js";
import { type BenchStep, powerStates } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { noneOfThese } from "../causes/none-of-these.js";
import { findCause } from "../causes.js";
import type { Cause } from "../types.js";
import { type CheckKind, type CheckOutcome, checkKinds, openedMinutes } from "./check-kinds.js";
import { computeGoneShare } from "./compute-gone-share.js";
import type { CheckValue, ExpectedOutcome, NextCheck } from "./types.js";

/** What is known of a path that decides which checks can be made on it. */
export interface CheckSituation {
  /** Stages that its strip has; all kinds where the desk file names none. */
  readonly stages?: readonly StageRole[];
  /** Whether the strip has an input that the round did not measure. */
  readonly otherInput?: boolean;
  /** Minutes to take a strip out and put it back. */
  readonly pullMinutes: number;
  /** Checks that were made already. */
  readonly done?: readonly string[];
}

/** To set a strip as the sheet says, or to patch it again, and to record it again (a guess). */
const resetMinutes = 3;
/** Nobody knows where to look for what none of the causes is. */
const unknownMinutes = noneOfThese.bench?.minutes ?? 45;
/** A settling check is right but for a slip (common practice, a guess). */
const settles = 0.93;
const slips = 0.05;
/** What a check finds gone so often of a setting is set right by it. */
const setsRight = 0.8;
/** Causes less likely than this are not listed with an outcome. */
const leastTold = 0.05;
const mostTold = 2;
/** Gains nearer to each other than this, as a ratio, are no reason to leave the order of the list. */
const told = 3;

/** A cause as the search for it sees it. */
interface Suspect {
  readonly kind: CauseKind;
  readonly probability: number;
  readonly minutes: number;
}

/** Something to do that tells suspects apart. */
interface Candidate {
  readonly id: string;
  readonly step: BenchStep;
  readonly minutes: number;
  readonly setting?: string;
  readonly words: Readonly<Record<"gone" | "stays", string>>;
  goneOf(suspect: Suspect): number;
  /** Whether what it finds gone stays gone: a setting is set right by it. */
  readonly resets: boolean;
}

/**
 * The check that saves most minutes of search for each of its own (troubleshooting by expected cost
 * of repair: D. Heckerman, J. S. Breese, K. Rommelse, "Decision-theoretic troubleshooting",
 * Commun. ACM 38(3), 1995). Causes are tried in the order of their probability for each minute that
 * they take; what a check is worth is how much shorter that search is expected to be once its outcome
 * is known, against a search in which what it does is left undone. A check at the closed desk that pays goes before all that need it open: nobody is hurt by
 * it, and no day is spent on it.
 *
 * @param causes of a path, with their probabilities; one fault at a time is reckoned with
 * @param situation of the path
 * @returns undefined where no check saves more than it costs, as where one cause is all but certain
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

/** Closed before open; of those that need it open, the order is the gain's alone. */
const powerRank = ({ power }: CheckValue) => Math.min(1, powerStates.indexOf(power));

/** Causes with what each takes to try; none where probabilities are missing. */
function listSuspects(causes: readonly Cause[]): readonly Suspect[] | undefined {
  const known = causes.flatMap(({ cause, probability }) => {
    const kind = findCause(cause);
    return kind === undefined || probability === undefined ? [] : [{ kind, probability }];
  });
  if (known.length === 0 || known.length < causes.length) return undefined;
  const named = known.reduce((sum, { probability }) => sum + probability, 0);
  const left = Math.max(0, 1 - named);
  // Causes that stand beside each other are more than one together: each is searched for.
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
 * Minutes that the search is expected to last: the causes are tried one after the other until it is
 * found, those that pay best first, and before the first fault the strip is taken out.
 *
 * @param isLast which are found only after all others
 * @example
 * const kind = (id) => findCause(id);
 * const setting = { kind: kind("low-cut-left-in"), probability: 0.5, minutes: 3 };
 * const fault = { kind: kind("dried-coupling-capacitor"), probability: 0.5, minutes: 30 };
 * // The setting first, 3 minutes in any case; in half of them the strip is pulled as well.
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

/** Checks at the closed desk that this path allows. */
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

/** What settles each fault once the desk is open. */
function listOpened(
  suspects: readonly Suspect[],
  { pullMinutes }: CheckSituation,
): readonly Candidate[] {
  return suspects.flatMap(({ kind: own }): Candidate[] => {
    const { settle } = own;
    if (settle.power === "in use" || own.id === noneOfThese.id) return [];
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
  // A setting that this sets right would else be found only in the end.
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

/** What an outcome makes of the suspects (Bayes), and how likely it is. */
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

/** Shannon's, bits. */
function entropyOf(suspects: readonly Suspect[]): number {
  return suspects.reduce((sum, { probability: p }) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);
}

const round = (value: number) => Math.round(100 * value) / 100;
