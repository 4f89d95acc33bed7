import type { Journal } from "./journal.js";
import { applyDecision, emptySitting, type SittingState } from "./sitting-state.js";
import type { Decision } from "./types.js";

/** What has been decided in a sitting: the state, and every decision in the journal. */
export interface SittingBook {
  readonly state: SittingState;
  /** @throws DeskroundError `cannot-write` if the journal cannot be written */
  readonly decide: (decision: Decision) => void;
}

/**
 * Opens the book of a sitting.
 *
 * @param decisions of the same sitting before
 */
export function createSittingBook(journal: Journal, decisions: readonly Decision[]): SittingBook {
  let state = decisions.reduce(applyDecision, emptySitting);
  return {
    get state() {
      return state;
    },
    decide(decision) {
      journal.append(decision);
      state = applyDecision(state, decision);
    },
  };
}
