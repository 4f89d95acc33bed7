import { planControlStops } from "../../desk/control-stops.js";
import type { Desk } from "../../desk/types.js";
import { getSharedCause } from "../../diagnose/shared-causes.js";
import type { RoundPath, RoundShared } from "../../history/types.js";
import type { PathToRank } from "../../rank/family-stats.js";
import type { DeskReference } from "../../rank/shared/compare-desk.js";
import type { OpenWay } from "../../rank/shared/find-open-ways.js";
import type { ReferenceDrift } from "../../rank/shared/reference/types.js";
import type { Remark } from "../../remark.js";
import type { ReturnsByPath } from "../place/group-returns.js";
import type { ChosenTake } from "../takes/choose-takes.js";
import type { MeasuredTakes } from "../takes/measure-takes.js";
import { buildRoundPath } from "./build-round-path.js";
import { computeEmptyCaptureNoise, isLoud } from "./empty-capture-noise.js";
import { listPassParts } from "./pass-parts.js";
import { rankAndDiagnose } from "./rank-and-diagnose.js";

/** Input of judging: the takes of a desk's paths, and what was heard of paths without takes. */
export interface TakesToJudge {
  readonly placed: ReturnsByPath;
  /** All takes as recorded, levels in dBFS. */
  readonly recorded: MeasuredTakes;
  readonly chosen: ReadonlyMap<string, ChosenTake>;
}

/** The paths of a round, and what several strips have in common. */
export interface JudgedPaths {
  readonly paths: readonly RoundPath[];
  readonly remarks: readonly Remark[];
  /** Outputs and buses that may be at fault instead of some strips: the round cannot tell. */
  readonly openWays: readonly OpenWay[];
  /** What several paths share; absent if nothing. */
  readonly shared?: readonly RoundShared[];
  /** Changes during the round, shown by the reference path; absent if nothing changed. */
  readonly drift?: ReferenceDrift;
}

/**
 * Ranks and diagnoses the paths of a desk by the takes that count.
 *
 * @param reference what the desk as a whole is compared with
 */
export function judgeTakes(
  desk: Desk,
  { placed, recorded, chosen }: TakesToJudge,
  reference: DeskReference,
): JudgedPaths {
  const quiet = computeEmptyCaptureNoise(desk.paths, recorded, placed.instead);
  const records = desk.paths.map(({ path }) => recordOf(path, placed, chosen));
  const inputs: PathToRank[] = desk.paths.map(({ path, family }, i) => {
    const { takes, unheard } = records[i];
    const silence = quiet.get(path);
    const sound = placed.instead.get(path);
    const measurement = takes?.counts.measurement;
    return {
      path,
      family,
      ...(measurement ? { measurement } : {}),
      ...(unheard === undefined ? {} : { unheard }),
      ...(silence === undefined ? {} : { silence }),
      ...(sound && isLoud(sound) ? { loud: sound } : {}),
    };
  });
  const { paths, remarks, shared, openWays, drift } = rankAndDiagnose(
    placed.passes === undefined ? desk : { ...desk, passParts: listPassParts(placed.passes) },
    inputs,
    reference,
  );
  const named = shared.map((one): RoundShared => {
    const cause = getSharedCause(one.aspect);
    return { ...one, ...(cause === undefined ? {} : { cause }) };
  });
  return {
    paths: desk.paths.map((path, i) => buildRoundPath(path, { ...records[i], judged: paths[i] })),
    remarks,
    openWays,
    ...(named.length === 0 ? {} : { shared: named }),
    ...(drift === undefined ? {} : { drift }),
  };
}

/** The paths of a controls pass: results of each control, without ranking. */
export function listPassPaths(
  desk: Desk,
  { placed, chosen }: Pick<TakesToJudge, "placed" | "chosen">,
): readonly RoundPath[] {
  // Paths without controls to move are not missing.
  const stops = new Set(planControlStops(desk).map(({ path }) => path.path));
  const heard = (path: string) =>
    placed.takes.has(path) || placed.spoilt.has(path) || placed.unheard.has(path);
  const paths = desk.paths.filter(({ path }) => stops.has(path) || heard(path));
  return paths.map((path) => {
    const made = buildRoundPath(path, recordOf(path.path, placed, chosen));
    return { ...made, readings: {}, curves: {} };
  });
}

function recordOf(path: string, placed: ReturnsByPath, chosen: ReadonlyMap<string, ChosenTake>) {
  const takes = chosen.get(path);
  const unheard = takes?.counts.unheard ?? placed.unheard.get(path);
  return { takes, unheard, spoilt: placed.spoilt.get(path) };
}
