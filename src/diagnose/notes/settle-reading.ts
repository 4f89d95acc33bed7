import type { SectionKind } from "../../desk/section-kinds.js";
import type { Control } from "../note-vocabulary.js";
import type { NotedFault, NoteReading } from "./noted-fault.js";
import { weighWords } from "./weigh-words.js";

/**
 * Weight of the words alone relative to the rules, in natural logarithms, by what the rules read:
 * fitted by maximum likelihood to 2839 notes that were not used to improve rules (`vague` and
 * `several` to the first 1235 of them), each weighed by words learned without it, in five folds.
 */
interface Trust {
  /** Factor for the words. */
  readonly words: number;
  /** Added for the first fault of the rules. */
  readonly first: number;
  /** Added for their other faults. */
  readonly other: number;
  /** Added for none. */
  readonly none: number;
}
interface Trusts {
  readonly symptom: Trust;
  readonly control: Trust;
}

/** Kinds of readings by the rules that are not final. */
const trusts = {
  /** No fault. */
  nothing: {
    symptom: { words: 1.4, first: 0, other: 0, none: 1.25 },
    control: { words: 1.42, first: 0, other: 0, none: -0.2 },
  },
  /** An ambiguous symptom with a control. */
  vague: {
    symptom: { words: 1.5, first: 1.77, other: 0, none: -1.48 },
    control: { words: 1.2, first: 3.48, other: 0, none: 1.1 },
  },
  /** The same without a control. */
  vagueAlone: {
    symptom: { words: 1.38, first: 1.33, other: 0, none: 0.48 },
    control: { words: 1.55, first: -0.85, other: 0, none: -1.15 },
  },
  /** A symptom without a control. */
  symptomAlone: {
    symptom: { words: 1.32, first: 1.78, other: 0, none: 0.63 },
    control: { words: 1.3, first: 0.12, other: 0, none: -0.9 },
  },
  /** A control, and no symptom. */
  controlAlone: {
    symptom: { words: 1.32, first: 0.07, other: 0, none: 0.1 },
    control: { words: 0.97, first: 1.88, other: 0, none: 1.27 },
  },
  /** A symptom of a control, in unambiguous words. */
  exact: {
    symptom: { words: 1.28, first: 1.88, other: 0, none: -0.28 },
    control: { words: 1.1, first: 2.33, other: 0, none: -0.55 },
  },
  /** Several faults, not each with a control. */
  several: {
    symptom: { words: 1.3, first: 1.63, other: 0.05, none: -1.25 },
    control: { words: 1.15, first: 1.3, other: 0.23, none: -1.48 },
  },
} as const satisfies Record<string, Trusts>;

type RuleReading = keyof typeof trusts;

/** A less probable answer does not count: the note is reported as not understood. */
const leastProbability = 0.25;
/**
 * A fault that the rules name is dropped only if the words leave little doubt: overlooking a fault
 * costs more than searching in vain.
 */
const leastForNone = { vague: 0.7, controlAlone: 0.5, other: 0.9 };
/** A certain reading by the rules is overruled only if the words leave little doubt. */
const leastForExact = 0.6;
/** These are used interchangeably for a control that is moved, and the remedy is the same. */
const alike: readonly NotedFault["symptom"][] = ["scratch", "crackle"];
/** A control is added to a symptom only if the words leave at most some doubt. */
const leastForControl = 0.5;
/** Of two faults, one is irrelevant if the words hardly support it. */
const leastForSecond = 0.03;

/**
 * Weighs the reading by the rules against the words alone. A list of controls with their symptoms
 * stays, and so does a note that all is in order; one control with its symptom is overruled only if
 * the words leave little doubt. Otherwise the likeliest single fault counts. Nothing is ordered for
 * a fault found by the words alone.
 *
 * @param reading by the rules
 * @param note what `normalizeNote` returns
 * @param kind of the part of the desk that the note is about; undefined for a strip
 * @param weigh probabilities by the words alone
 * @example
 * settleReading({ faults: [], isInOrder: false }, "sounds muffled").faults[0]?.symptom; // "dull"
 */
export function settleReading(
  reading: NoteReading,
  note: string,
  kind?: SectionKind,
  weigh: typeof weighWords = weighWords,
): NoteReading {
  const { faults } = reading;
  const read = findRuleReading(reading);
  if (note === "" || read === undefined) return reading;
  const trust: Trusts = trusts[read];
  const symptomLogs = weigh("symptom", note, kind);
  if (faults.length > 1 && isPair(faults, symptomLogs, note)) return reading;
  const symptom = choose(
    symptomLogs,
    faults.map((one) => one.symptom),
    trust.symptom,
  );
  const control = choose(
    new Map(
      [...weigh("control", note, kind)].filter(([is]) => !reading.cleared?.includes(is as Control)),
    ),
    faults.map((one) => one.control),
    trust.control,
  );
  const [first] = faults;
  const isAdded = first?.symptom !== undefined && faults.every((one) => one.control === undefined);
  if (isAdded && control.is !== undefined && control.probability < leastForControl) return reading;
  const own = faults.find((one) => one.control === control.is && one.symptom === symptom.is);
  if (own !== undefined) return faults.length === 1 ? reading : { ...reading, faults: [own] };
  const isVague = faults.every((one) => one.isVague);
  const probability = symptom.probability * control.probability;
  if (symptom.is === undefined && control.is === undefined) {
    return faults.length === 0 ||
      probability <
        leastForNone[isVague ? "vague" : read === "controlAlone" ? "controlAlone" : "other"]
      ? reading
      : { faults: [], isInOrder: false };
  }
  const isLike = faults.some(
    (one) =>
      one.control === control.is && alike.includes(one.symptom) && alike.includes(symptom.is),
  );
  if (isLike && read === "exact") return reading;
  if (probability < (read === "exact" ? leastForExact : leastProbability)) return reading;
  // A control that is only mentioned is not at fault.
  if (faults.length === 0 && symptom.is === undefined) return reading;
  const like = faults.find((one) => one.symptom === symptom.is);
  const fault: NotedFault = {
    ...(control.is === undefined ? {} : { control: control.is }),
    ...(symptom.is === undefined ? {} : { symptom: symptom.is }),
    isVague: true,
    ...(like?.comesAndGoes || symptom.is === "intermittent" ? { comesAndGoes: true } : {}),
  };
  return { faults: [fault], isInOrder: false };
}

/** The kind of reading by the rules; undefined if it is final. */
function findRuleReading({ faults, isInOrder }: NoteReading): RuleReading | undefined {
  const [first] = faults;
  if (first === undefined) return isInOrder ? undefined : "nothing";
  const isNamed = faults.every(
    ({ control, symptom }) => control !== undefined && symptom !== undefined,
  );
  if (faults.length > 1) return isNamed ? undefined : "several";
  if (first.symptom === undefined) return "controlAlone";
  if (first.control === undefined) return first.isVague ? "vagueAlone" : "symptomAlone";
  return first.isVague ? "vague" : "exact";
}

/** "Treble all gone and it breaks up early": two separate faults. */
function isPair(
  faults: readonly NotedFault[],
  logs: ReadonlyMap<NotedFault["symptom"], number>,
  note: string,
): boolean {
  if (faults.length > 2) return false;
  const isPlain = faults.every(
    ({ control, symptom }) => control !== undefined || !(symptom && passing.includes(symptom)),
  );
  return (
    (isPlain || /\b(?:and|also|plus|too|but)\b/.test(note)) &&
    faults.every(({ symptom }) => (logs.get(symptom) ?? 0) > Math.log(leastForSecond))
  );
}
/** Symptoms that also describe another fault: "nothing plugged in", "only faint". */
const passing: readonly NotedFault["symptom"][] = [
  ...(["dead", "stuck", "unsteady", "intermittent", "quiet", "loud", "dark", "pop"] as const),
];

/** The likeliest answer, and how likely it is once the rules' answers are weighed too. */
function choose<T>(
  logs: ReadonlyMap<T | undefined, number>,
  read: readonly (T | undefined)[],
  { words, first, other, none }: Trust,
): { readonly is: T | undefined; readonly probability: number } {
  const sums = [...logs].map(([is, log]) => {
    const asRead = is === read[0] ? first : read.includes(is) ? other : 0;
    return { is, sum: words * log + asRead + (is === undefined ? none : 0) };
  });
  const best = sums.reduce((a, b) => (b.sum > a.sum ? b : a));
  const all = sums.reduce((total, { sum }) => total + Math.exp(sum - best.sum), 0);
  return { is: best.is, probability: 1 / all };
}
