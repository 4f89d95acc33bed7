import { readReferenceTurn } from "../../capture/assign/reference-returns.js";
import type { Assignment, SignalSpan } from "../../capture/types.js";
import type { Desk } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { toMeasurement } from "../../history/to-path-to-rank.js";
import type { MeasuredReferenceTurn, Round, RoundReference } from "../../history/types.js";
import { withoutLevelDrift } from "../../history/without-level-drift.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import type { ReferenceEvidence } from "../../rank/shared/reference/attribute-faults.js";
import type { DriftContext } from "../../rank/shared/reference/subtract-drift.js";
import type { ReferenceMeasurements } from "../../rank/shared/reference/types.js";
import { buildRoundTake, type ChosenTake } from "../takes/choose-takes.js";
import type { MeasuredTake } from "../takes/measure-takes.js";
import { storeAbsences } from "./build-round-path.js";

/** What the reference path of a round contributes to judging it. */
export type ReferencePathContext = DriftContext & { readonly evidence: ReferenceEvidence };

/**
 * The reference path as stored in a round, without drift.
 *
 * @param takes in the order played; the first and the last count
 *
 * @returns undefined if none was recorded
 */
export function buildRoundReference(
  { referencePath, paths }: Pick<Desk, "referencePath" | "paths">,
  takes: readonly MeasuredTake[],
  assignments: readonly Assignment<SignalSpan>[],
): RoundReference | undefined {
  if (referencePath === undefined || takes.length === 0) return undefined;
  const { name, into } = referencePath;
  const [first] = takes;
  const last = takes.at(-1) ?? first;
  const turns =
    takes.length > 1
      ? [toTurn("first", first), toTurn("last", last)]
      : [toTurn(findTurn(first, assignments, new Set(paths.map(({ path }) => path))), first)];
  return { name, into, turns };
}

/**
 * Whether a single return was played before the others: by its file's name, or else by its
 * position.
 */
function findTurn(
  { found }: MeasuredTake,
  assignments: readonly Assignment<SignalSpan>[],
  paths: ReadonlySet<string>,
): MeasuredReferenceTurn["turn"] {
  const named = readReferenceTurn(found.file);
  if (named !== undefined) return named;
  const at = assignments.findIndex(({ return: one }) => isSameSpan(one, found));
  const isPath = ({ path }: Assignment<SignalSpan>) => paths.has(path);
  const earlier = assignments.slice(0, Math.max(0, at)).filter(isPath).length;
  return 2 * earlier <= assignments.filter(isPath).length ? "first" : "last";
}

function isSameSpan(a: SignalSpan, b: SignalSpan): boolean {
  return a.file === b.file && a.channel === b.channel && a.startSample === b.startSample;
}

function toTurn(turn: MeasuredReferenceTurn["turn"], one: MeasuredTake): MeasuredReferenceTurn {
  const take = buildRoundTake({ counts: one, others: [] });
  const { measurement, unusable, unheard } = one;
  if (measurement === undefined) {
    const because = unusable ?? (unheard && ({ code: "nothing-back", heard: unheard } as const));
    return {
      turn,
      status: "unusable",
      ...(because === undefined ? {} : { because }),
      take,
      readings: {},
      absent: {},
      curves: {},
    };
  }
  const { readings, absent, curves } = measurement;
  return { turn, status: "measured", take, readings, ...storeAbsences(absent), curves };
}

/** The measured turns, in the form for ranking. */
export function getReferenceMeasurements({ into, turns }: RoundReference): ReferenceMeasurements {
  const of = (turn: MeasuredReferenceTurn["turn"]) => {
    const found = turns.find((one) => one.turn === turn && one.status === "measured");
    return found === undefined ? undefined : toMeasurement(found);
  };
  const [first, last] = [of("first"), of("last")];
  return { into, ...(first ? { first } : {}), ...(last ? { last } : {}) };
}

/**
 * What the reference path contributes to judging a round.
 *
 * @param earlier the round to compare with; used if its reference path entered at the same place
 */
export function buildReferenceContext(
  reference: RoundReference,
  chosen: ReadonlyMap<string, ChosenTake>,
  assignments: readonly Assignment<SignalSpan>[],
  outputDbu: number | undefined,
  earlier: Round | undefined,
): ReferencePathContext {
  const now = getReferenceMeasurements(reference);
  const then = earlier?.reference;
  const isSame = then?.into === reference.into;
  const gains = earlier && isHeld(earlier) ? listGains(earlier) : undefined;
  return {
    reference: now,
    turns: listTurns(chosen, assignments),
    ...(gains === undefined ? {} : { earlierGains: gains }),
    evidence: {
      now,
      ...(then && isSame ? { earlier: getReferenceMeasurements(then) } : {}),
      ...(outputDbu === undefined ? {} : { outputDbu }),
    },
  };
}

/** Paths in the order of recording, counted from 0. */
function listTurns(
  chosen: ReadonlyMap<string, ChosenTake>,
  assignments: readonly Assignment<SignalSpan>[],
): ReadonlyMap<string, number> {
  const counting = assignments.filter(({ path, return: one }) => {
    const found = chosen.get(path)?.counts.found;
    return found !== undefined && isSameSpan(found, one);
  });
  return new Map(counting.map(({ path }, turn) => [path, turn]));
}

/** Whether the level of a round is known to be constant, or its drift was corrected. */
function isHeld({ reference }: Round): boolean {
  if (reference === undefined || reference.turns.length < 2) return false;
  return reference.drift?.level === undefined || reference.drift.level.handled === "taken-off";
}

function listGains(round: Round): ReadonlyMap<string, number> {
  const gain = getReadingId("gain");
  return new Map(
    withoutLevelDrift(round).paths.flatMap(({ path, readings }): [string, number][] => {
      const own = readings[gain];
      return own === undefined ? [] : [[path, own.value]];
    }),
  );
}

/**
 * Doubts that the reference path is missing, could not be measured, or changed during the round.
 */
export function listReferenceDoubts(
  { referencePath }: Pick<Desk, "referencePath">,
  reference: RoundReference | undefined,
): readonly Doubt[] {
  if (referencePath === undefined) return [];
  const { name } = referencePath;
  if (reference === undefined) return [{ code: "reference-missing", name, turns: "both" }];
  const told = new Set(reference.turns.map(({ turn }) => turn));
  const lacking = (["first", "last"] as const).filter((turn) => !told.has(turn));
  const { level, readings = [] } = reference.drift ?? {};
  return [
    ...lacking.map((turns): Doubt => ({ code: "reference-missing", name, turns })),
    ...reference.turns.flatMap(({ turn, status, because }): Doubt[] =>
      status === "measured"
        ? []
        : [
            {
              code: "reference-unusable",
              name,
              turn,
              ...(because === undefined ? {} : { because }),
            },
          ],
    ),
    ...(level?.handled === "doubted"
      ? [{ code: "level-drifted", name, changeDb: level.changeDb, course: level.course } as const]
      : []),
    ...(readings.length > 0
      ? [
          {
            code: "readings-drifted",
            name,
            readings: readings.map(({ reading, change, unit, atHz }) => ({
              reading,
              change,
              unit,
              ...(atHz === undefined ? {} : { atHz }),
            })),
          } as const,
        ]
      : []),
  ];
}
