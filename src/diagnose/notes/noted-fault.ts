import type { Control, Symptom } from "../note-vocabulary.js";

/** One fault that a note speaks of. */
export interface NotedFault {
  readonly control?: Control;
  readonly symptom?: Symptom;
  /** Only known by a word that may mean several things, such as dirt. */
  readonly isVague?: true;
  /** It is not there all the time: no measurement proves it gone. */
  readonly comesAndGoes?: true;
}

/** What a free text says. */
export interface NoteReading {
  /** Faults in the order of the text; none where it speaks of none that is understood. */
  readonly faults: readonly NotedFault[];
  /** It only says that something is in order, or that a fault is gone. */
  readonly isInOrder: boolean;
  /** Controls that it says are not the reason, of a note that speaks of a fault. */
  readonly cleared?: readonly Control[];
}
