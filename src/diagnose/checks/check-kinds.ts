import type { StageRole } from "../../desk/stage-role.js";
import { type BenchStep, inUse, type PowerState } from "../bench.js";

/**
 * What became of a finding in a second recording: `gone`; `stays`; `idle` if the control changes
 * nothing at all.
 */
export type CheckOutcome = "gone" | "stays" | "idle";

/** What a check compares to see whether the fault is gone. */
export type CheckLooksAt =
  /** All that stood out. */
  | "oddities"
  /** Level and response, which a switch or a knob sets. */
  | "shape"
  /** Whether the corner, or the noise, follows the gain. */
  | "gain-law"
  /** All that stood out except the level, which was changed on purpose. */
  | "loudness"
  /** Whether each band of the equaliser has an effect. */
  | "bands"
  /** Whether the level follows a pan law. */
  | "pan"
  /** Whether a controls pass finds scratch or breaks. */
  | "controls";

/**
 * Something to do at the closed desk before recording again: it takes minutes and separates causes.
 * The response of each cause is in its own file.
 */
export interface CheckKind<Id extends string = string> {
  /** The name for `--setting` and in the notebook. */
  readonly id: Id;
  /** What to do, as an imperative clause. */
  readonly step: BenchStep;
  /** Minutes, recording included (common practice, a guess). */
  readonly minutes: number;
  readonly looksAt: CheckLooksAt;
  /** Stage of the strip that it works on; absent if any path will do. */
  readonly stage?: StageRole;
  /** Wording of each outcome, as a clause. */
  readonly words: Readonly<Record<CheckOutcome, string>>;
}

const setup = ["recording set-up"] as const;
const changed = {
  gone: "what stood out is gone",
  stays: "what stood out stays",
  idle: "nothing changed",
} as const;

/** Every check that is recorded at the closed desk, the least work first. */
export const checkKinds = [
  {
    id: "again",
    step: inUse("record this path again, with nothing changed", undefined, setup),
    minutes: 2,
    looksAt: "oddities",
    words: changed,
  },
  {
    id: "low-cut",
    step: inUse("switch the low-cut to its other position and record again", undefined, setup),
    minutes: 2,
    looksAt: "shape",
    stage: "low-cut",
    words: { ...changed, idle: "the low-cut changes nothing: it is dead, or was not pressed" },
  },
  {
    id: "equaliser",
    step: inUse("switch the equaliser to its other position and record again", undefined, setup),
    minutes: 2,
    looksAt: "shape",
    stage: "equaliser",
    words: { ...changed, idle: "the switch changes nothing: the equaliser was flat, or is dead" },
  },
  {
    id: "pad",
    step: inUse("switch pad or mic/line to its other position and record again", undefined, setup),
    minutes: 2,
    looksAt: "shape",
    stage: "input stage",
    words: { ...changed, idle: "the switch changes nothing: it is dead, or was not pressed" },
  },
  {
    id: "marks",
    step: inUse("set gain, fader and pan to the sheet's marks and record again", undefined, setup),
    minutes: 3,
    looksAt: "shape",
    words: changed,
  },
  {
    id: "gain-down",
    step: inUse("turn the gain down by 10 dB and record again", undefined, setup),
    minutes: 3,
    looksAt: "gain-law",
    stage: "input stage",
    words: {
      gone: "what stood out moves with the gain",
      stays: "what stood out stays where it was",
      idle: "the gain control changes nothing: it is dead, or was not turned",
    },
  },
  {
    id: "level-down",
    step: inUse("play 12 dB lower and record again", undefined, setup),
    minutes: 3,
    looksAt: "loudness",
    words: {
      gone: "at the lower level what stood out is gone",
      stays: "at the lower level it stands out as much, or more",
      idle: "the level is the same: it was not turned down",
    },
  },
  {
    id: "cable",
    step: inUse("swap the cable with a sibling's and record again", undefined, [
      "recording set-up",
      "good cable",
    ]),
    minutes: 3,
    looksAt: "oddities",
    words: changed,
  },
  {
    id: "switches",
    step: inUse(
      "work every switch and the plug of this path a dozen times, put them back and record again",
      undefined,
      setup,
    ),
    minutes: 3,
    looksAt: "oddities",
    words: changed,
  },
  {
    id: "gain-worked",
    step: inUse(
      "turn the gain from end to end a dozen times, back to its mark, and record again",
      undefined,
      setup,
    ),
    minutes: 3,
    looksAt: "oddities",
    stage: "input stage",
    words: changed,
  },
  {
    id: "mute-worked",
    step: inUse("work the mute a dozen times and record again", undefined, setup),
    minutes: 3,
    looksAt: "oddities",
    stage: "mute",
    words: changed,
  },
  {
    id: "insert",
    step: inUse("join send and return of the insert with a good cord and record again", undefined, [
      "recording set-up",
      "patch cord",
    ]),
    minutes: 3,
    looksAt: "oddities",
    stage: "insert",
    words: changed,
  },
  {
    id: "other-input",
    step: inUse("record another input of the strip", undefined, setup),
    minutes: 4,
    looksAt: "oddities",
    words: {
      gone: "the other input does not show it: it is before the point where the inputs join",
      stays: "the other input shows it too: it is after the point where the inputs join",
      idle: "nothing changed",
    },
  },
  {
    id: "bands",
    step: inUse(
      "switch the equaliser in, turn bass and treble fully up, the middle fully down and record again",
      undefined,
      setup,
    ),
    minutes: 4,
    looksAt: "bands",
    stage: "equaliser",
    words: {
      gone: "bass, middle and treble each act",
      stays: "bass, middle and treble each act",
      idle: "a band does nothing: it is dead",
    },
  },
  {
    id: "pan",
    step: inUse(
      "turn the pan fully to the side that is recorded and record again",
      undefined,
      setup,
    ),
    minutes: 3,
    looksAt: "pan",
    stage: "pan",
    words: {
      gone: "the level follows a pan law",
      stays: "the level follows a pan law",
      idle: "the level follows no pan law: the pan or its wiring is faulty",
    },
  },
  {
    id: "controls",
    step: inUse(
      "play the controls signal and move each control of the strip (a controls pass)",
      undefined,
      setup,
    ),
    minutes: 8,
    looksAt: "controls",
    words: {
      gone: "a control scratches, jumps or drops out",
      stays: "every control is quiet",
      idle: "nothing changed",
    },
  },
] as const satisfies readonly CheckKind[];

export type CheckId = (typeof checkKinds)[number]["id"];

/**
 * How often, 0 to 1, each check clears what a cause has shown (common practice, guesses); a check
 * that is not listed hardly affects it.
 */
export type CheckAnswers = Readonly<Partial<Record<CheckId, number>>>;

const every = (share: number): CheckAnswers =>
  Object.fromEntries(checkKinds.map(({ id }) => [id, share]));

/**
 * For an error of patching or recording: any second recording that is patched correctly is without
 * it.
 */
export const patchedAnew: CheckAnswers = { ...every(0.9), controls: 0.02 };

/** For an unknown cause: it may respond either way. */
export const anyAnswer: CheckAnswers = every(0.3);

/** Share for a check that is not listed. */
export const untouched = 0.03;

/** Minutes of a check that needs the desk open, once it is open (common practice, guesses). */
export const openedMinutes: Readonly<Record<PowerState, number>> = {
  "in use": 3,
  "powered and open": 15,
  unplugged: 15,
  bench: 25,
};

const byId: ReadonlyMap<string, CheckKind<CheckId>> = new Map(
  checkKinds.map((kind) => [kind.id, kind]),
);

/**
 * A check by its id; undefined for one from another version.
 *
 * @example
 * findCheck("low-cut").id; // "low-cut"
 * findCheck("of another version"); // undefined
 */
export function findCheck(id: string): CheckKind<CheckId> | undefined {
  return byId.get(id);
}
