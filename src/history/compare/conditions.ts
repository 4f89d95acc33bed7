import { DeskroundError } from "../../errors.js";
import { findCurveKind } from "../../measure/curve-kinds.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import { formatCommand } from "../../text/program-name.js";
import type { Condition } from "../condition.js";
import { compareRoundIds } from "../round-id.js";
import { assertSameDesk } from "../same-desk.js";
import type { Round } from "../types.js";
import type { Refusal } from "./incomparable.js";
import { createShareRefusal } from "./interface-share.js";

/** What can be compared between two rounds. */
export interface Conditions {
  /** Whether both were measured with the same calibration, whose error then cancels. */
  readonly calibration: "same" | "other" | "none";
  /** Why a reading (of one path, if named) cannot be compared; undefined if it can. */
  readonly refused: (reading: string, path?: string) => Refusal | undefined;
  /** What differed. */
  readonly differences: readonly Condition[];
  /** That only some paths were asked for. */
  readonly partial: readonly Condition[];
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
      `Name an earlier round with --with; \`${formatCommand("show --list")}\` lists them.`,
    );
  }
  assertSameDesk(earlier, later.desk);
  if (compareRoundIds(earlier.id, later.id) > 0) {
    throw new DeskroundError(
      "usage",
      `Round ${earlier.id} is later than round ${later.id}: a baseline comes before what it is compared with.`,
      `Swap them: ${earlier.id} --with ${later.id}.`,
    );
  }
}

/** Differences in how two rounds of a desk were made, and their consequences. */
export function findConditions(earlier: Round, later: Round): Conditions {
  const differences: Condition[] = [];
  const partials = [earlier, later].flatMap(({ id, partial }): Condition[] =>
    partial === undefined ? [] : [{ code: "partial", round: id, paths: partial.wanted.length }],
  );
  const refusals: ((reading: string, path?: string) => Refusal | undefined)[] = [];
  const [before, after] = [earlier.signal, later.signal];
  const band = before.band === after.band ? "same" : "other";
  if (before.profile !== after.profile) {
    differences.push({ code: "other-profile", earlier: before.profile, later: after.profile });
  }
  if (before.sampleRate !== after.sampleRate) {
    const [thenHz, nowHz] = [before.sampleRate, after.sampleRate];
    differences.push({ code: "other-rate", thenHz, nowHz, band });
  }
  if (band === "other") {
    refusals.push((reading) =>
      findReadingKind(reading)?.atBandEnd ? { code: "other-band-end" } : undefined,
    );
  }
  if (before.version !== after.version) {
    differences.push({ code: "other-version", earlier: before.version, later: after.version });
  }
  if (before.nominalDbfs !== after.nominalDbfs) {
    const [thenDbfs, nowDbfs] = [before.nominalDbfs, after.nominalDbfs];
    differences.push({ code: "other-level", thenDbfs, nowDbfs });
    refusals.push((reading) => (dependsOnLevel(reading) ? { code: "other-level" } : undefined));
  }
  if (earlier.calibration === null && later.calibration !== null) {
    refusals.push(createShareRefusal(earlier, later));
  }
  if (earlier.calibration !== null && later.calibration === null) {
    refusals.push(createShareRefusal(later, earlier));
  }
  if (earlier.desk.mainsHz !== later.desk.mainsHz) {
    const [thenHz, nowHz] = [earlier.desk.mainsHz, later.desk.mainsHz];
    differences.push({ code: "other-mains", thenHz, nowHz });
    refusals.push((reading) =>
      findReadingKind(reading)?.aspect === "hum" ? { code: "other-mains" } : undefined,
    );
  }
  differences.push(...comparePasses(earlier, later));
  return {
    calibration: calibrationOf(earlier, later),
    refused: (reading, path) => {
      for (const refusal of refusals) {
        const reason = refusal(reading, path);
        if (reason !== undefined) return reason;
      }
      return undefined;
    },
    differences,
    partial: partials,
  };
}

/**
 * Effect of passes on a comparison: the noise of several strips is not a path's own and was left
 * out of its readings; outputs and buses differ by some tenths of a decibel.
 */
function comparePasses(earlier: Round, later: Round): readonly Condition[] {
  const [before, after] = [wayOf(earlier), wayOf(later)];
  if (before === undefined && after === undefined) return [];
  if (before === undefined || after === undefined) {
    const round = before === undefined ? later : earlier;
    return [{ code: "one-in-passes", round: round.id, together: listTogether(round).size }];
  }
  const together = new Set([...listTogether(earlier), ...listTogether(later)]).size;
  const otherWay = [...after].filter(([path, way]) => (before.get(path) ?? way) !== way).length;
  if (together + otherWay === 0) return [];
  return [{ code: "both-in-passes", together, otherWay }];
}

/** By path, the output and the channel that it went through; undefined for a round without passes. */
function wayOf({ paths }: Round): ReadonlyMap<string, string> | undefined {
  const ways = paths.flatMap(({ path, take }): [string, string][] =>
    take?.output === undefined ? [] : [[path, `${take.output} ${take.channel}`]],
  );
  return ways.length === 0 ? undefined : new Map(ways);
}

function listTogether({ sums = [] }: Round): ReadonlySet<string> {
  return new Set(sums.flatMap(({ paths }) => paths));
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
