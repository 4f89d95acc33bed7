import { DeskroundError } from "../errors.js";
import type { Round } from "./types.js";

/** What a desk is known by. */
export interface DeskIdentity {
  /** From the desk file; a desk keeps it when its name changes. */
  readonly id?: string | undefined;
  readonly name: string;
}

/**
 * Whether two rounds, or a round and a desk file, are of one desk. The id decides; a round
 * without an id is assumed to belong to the desk whose folder it is in, whatever its name was.
 */
export function isSameDesk(a: DeskIdentity, b: DeskIdentity): boolean {
  return a.id === undefined || b.id === undefined || a.id === b.id;
}

/**
 * Refuses a round of another desk.
 *
 * @throws DeskroundError `usage`
 */
export function assertSameDesk(round: Pick<Round, "id" | "desk">, other: DeskIdentity): void {
  if (isSameDesk(round.desk, other)) return;
  throw new DeskroundError(
    "usage",
    `Round ${round.id} is of the desk "${round.desk.name}" (id ${round.desk.id}), not of "${other.name}" (id ${other.id}): one cannot be a baseline for the other.`,
    "Name a round of the same desk. If it is the same desk, give desk.yaml the id that its rounds have.",
  );
}
