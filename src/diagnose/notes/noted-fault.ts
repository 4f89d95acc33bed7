import type { Control, Symptom } from "../note-vocabulary.js";

/** One fault that a note describes. */
export interface NotedFault {
  readonly control?: Control;
  readonly symptom?: Symptom;
  /** Known only by a word with several meanings, such as dirt. */
  readonly isVague?: true;
  /** It is not there all the time, so no measurement can prove it gone. */
  readonly comesAndGoes?: true;
}

/** What a free text means. */
export interface NoteReading {
  /** Faults in the order of the text; none if it describes none that is understood. */
  readonly faults: readonly NotedFault[];
  /** It only says that something is in order, or that a fault is gone. */
  readonly isInOrder: boolean;
  /** Controls that a note with a fault says are not the reason. */
  readonly cleared?: readonly Control[];
}
