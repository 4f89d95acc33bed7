import { DeskroundError } from "../../errors.js";
import { findCurveKind } from "../../measure/curve-kinds.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import { compareRoundIds } from "../round-id.js";
import { assertSameDesk } from "../same-desk.js";
import type { Round } from "../types.js";

/** What two rounds allow to be compared. */
export interface Conditions {
  /** Whether both were measured under the very same calibration, whose error then cancels. */
  readonly calibration: "same" | "other" | "none";
  /** Why a reading cannot be compared; undefined when it can. */
  readonly refused: (reading: string) => string | undefined;
  /** What differed, in words. */
  readonly notes: readonly string[];
  /** That only some paths were asked for, in words. */
  readonly partial: readonly string[];
}

/**
 * Refuses two rounds that cannot be a round and its baseline.
 *
 * @throws DeskroundError `usage`: the same round, rounds of two desks, a baseline that is later
 */
export function assertBaseline(earlier: Round, later: Round): void {
  if (earlier.id === later.id) {
    throw new DeskroundError(
      "usage",
      `Round ${later.id} cannot be its own baseline: nothing would have changed.`,
      "Name an earlier round with --with; `deskround show --list` lists them.",
    );
  }
  assertSameDesk(earlier, later.desk);
  if (compareRoundIds(earlier.id, later.id) > 0) {
    throw new DeskroundError(
      "usage",
      `Round ${earlier.id} is later than round ${later.id}: a baseline lies before what it is compared with.`,
      `Change them about: ${earlier.id} --with ${later.id}.`,
    );
  }
}

/** What differed in how two rounds of a desk were made, and what follows from it. */
export function findConditions(earlier: Round, later: Round): Conditions {
  const notes: string[] = [];
  const partials: string[] = [];
  const refusals: ((reading: string) => string | undefined)[] = [];
  const [before, after] = [earlier.signal, later.signal];
  for (const { id, partial } of [earlier, later]) {
    if (partial === undefined) continue;
    const { length } = partial.wanted;
    partials.push(
      `Round ${id} is a partial one: only ${length === 1 ? "the path" : `the ${length} paths`} that it was asked for ${length === 1 ? "is" : "are"} compared.`,
    );
  }
  if (before.profile !== after.profile) {
    notes.push(
      `The signal was "${before.profile}" then and is "${after.profile}" now: what only one of them gives is not compared.`,
    );
  }
  if (before.sampleRate !== after.sampleRate) {
    notes.push(
      `Recorded at ${before.sampleRate / 1000} kHz then and at ${after.sampleRate / 1000} kHz now: curves are compared as far as both reach${before.band === after.band ? "" : ", the high corner not at all"}.`,
    );
  }
  if (before.band !== after.band) {
    refusals.push((reading) =>
      findReadingKind(reading)?.atBandEnd
        ? "the two signals end at different frequencies"
        : undefined,
    );
  }
  if (before.version !== after.version) {
    notes.push(
      `The signal was of version ${before.version} then and is of version ${after.version} now.`,
    );
  }
  if (before.nominalDbfs !== after.nominalDbfs) {
    notes.push(
      `The tones were sent at ${before.nominalDbfs} dBFS then and at ${after.nominalDbfs} dBFS now: readings that depend on level are not compared.`,
    );
    refusals.push((reading) =>
      dependsOnLevel(reading) ? "the tones were sent at different levels" : undefined,
    );
  }
  if (earlier.desk.mainsHz !== later.desk.mainsHz) {
    notes.push(
      `The mains were ${earlier.desk.mainsHz} Hz then and are ${later.desk.mainsHz} Hz now: hum is not compared.`,
    );
    refusals.push((reading) =>
      findReadingKind(reading)?.aspect === "hum" ? "the mains have another frequency" : undefined,
    );
  }
  return {
    calibration: calibrationOf(earlier, later),
    refused: (reading) => {
      for (const refusal of refusals) {
        const reason = refusal(reading);
        if (reason !== undefined) return reason;
      }
      return undefined;
    },
    notes,
    partial: partials,
  };
}

/** Whether a reading or a curve can be compared at one level of the signal only. */
function dependsOnLevel(id: string): boolean {
  return (
    findReadingKind(id)?.levelDependence !== undefined || findCurveKind(id)?.dependsOnLevel === true
  );
}

function calibrationOf(earlier: Round, later: Round): Conditions["calibration"] {
  if (earlier.calibration === null || later.calibration === null) return "none";
  return earlier.calibration.sha256 === later.calibration.sha256 ? "same" : "other";
}
