import {
  alignSides,
  getUsualSecond,
  isSecondSilent,
  nameSecondFamily,
  nameSecondSide,
} from "../rank/partner-path.js";
import { getAbsences, toStoredAbsences } from "./absences.js";
import { toMeasurement, toPathToRank } from "./to-path-to-rank.js";
import type { Round, RoundPath, RoundShared } from "./types.js";

type Side = "left" | "right";

/**
 * The second sides of a round's paths if the bus was recorded in stereo: path to the name of its
 * second side. Empty for a mono round.
 */
export function listSecondSides({ paths }: Pick<Round, "paths">): ReadonlyMap<string, string> {
  const usual = getUsualSecond(paths.map(toPathToRank));
  if (usual === undefined) return new Map();
  return new Map(
    paths.flatMap(({ path, partner }) =>
      partner === undefined ? [] : [[path, nameSecondSide(path, usual)] as const],
    ),
  );
}

/**
 * A round in which each side of a stereo bus is a separate path of a separate family, with its own
 * findings, for code that judges path by path. A fault of a shared part belongs to the sides that
 * show it. The second side is the same one for all paths. A mono round is left as it is.
 *
 * @returns a round to be judged, not to be stored
 */
export function withSides(round: Round): Round {
  const usual = getUsualSecond(round.paths.map(toPathToRank));
  if (usual === undefined) return round;
  const seconds = listSecondSides(round);
  const aligned = alignSides(round.paths.map(toPathToRank));
  return {
    ...round,
    paths: round.paths.flatMap((path, i) => {
      const { readings, absent, curves, partner } = aligned[i].measurement ?? toMeasurement(path);
      return partPath(
        {
          ...path,
          readings,
          ...toStoredAbsences(absent),
          curves,
          ...(partner === undefined
            ? {}
            : { partner: { ...partner, ...toStoredAbsences(partner.absent) } }),
        },
        usual,
      );
    }),
    ...(round.shared === undefined
      ? {}
      : { shared: round.shared.map((fault) => partFault(fault, seconds, usual)) }),
  };
}

/**
 * What {@link withSides} adds to a round's own paths: the second sides, and first sides
 * that were measured second. Empty for a mono round.
 */
export function listOtherSides(round: Round): readonly RoundPath[] {
  const usual = getUsualSecond(round.paths.map(toPathToRank));
  if (usual === undefined) return [];
  const asTheyAre = new Set(
    round.paths.flatMap(({ path, partner }) =>
      partner === undefined || partner.side === usual ? [path] : [],
    ),
  );
  return withSides(round).paths.filter(({ path }) => !asTheyAre.has(path));
}

/** The two sides of a path; the path itself where it was recorded in mono. */
function partPath(whole: RoundPath, usual: Side): readonly RoundPath[] {
  const { partner, ...first } = whole;
  if (partner === undefined) return [whole];
  const own = whole.findings.filter(({ side }) => side === partner.side);
  const others = whole.findings.filter(({ side }) => side !== partner.side);
  const spoken = own.some(({ severity }) => severity !== "remark");
  const { rank: _, reason: __, because: ___, otherTakes: ____, ...common } = first;
  const isSilent = isSecondSilent(whole);
  const measured = { findings: others, causes: spoken ? [] : whole.causes };
  const { readings, curves } = partner;
  const other = {
    status: isSilent ? ("unusable" as const) : ("measured" as const),
    ...(isSilent
      ? {
          because: { code: "side-silent", side: partner.side } as const,
          readings: {},
          ...toStoredAbsences({}),
          curves: {},
        }
      : { readings, ...toStoredAbsences(getAbsences(partner)), curves }),
    findings: own,
    causes: spoken ? whole.causes : [],
  };
  const names = {
    path: nameSecondSide(whole.path, usual),
    family: nameSecondFamily(whole.family, usual),
  };
  return partner.side === usual
    ? [
        { ...first, ...measured },
        { ...common, ...names, ...other },
      ]
    : [
        { ...common, ...other },
        { ...common, ...names, ...measured },
      ];
}

function partFault(
  fault: RoundShared,
  seconds: ReadonlyMap<string, string>,
  usual: Side,
): RoundShared {
  const { side } = fault.part;
  const others = fault.paths.flatMap((path) => seconds.get(path) ?? []);
  if (side === undefined) return { ...fault, paths: [...fault.paths, ...others] };
  return side === usual ? { ...fault, paths: others } : fault;
}
