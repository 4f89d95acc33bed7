import { toPartnerPath } from "../rank/partner-path.js";
import { toPathToRank } from "./to-path-to-rank.js";
import type { Round, RoundPath, RoundShared } from "./types.js";

/**
 * The second sides of a round's paths where the bus was recorded in stereo: path to the name of its
 * second side. Empty for a mono round.
 */
export function listSecondSides({ paths }: Pick<Round, "paths">): ReadonlyMap<string, string> {
  return new Map(
    paths.flatMap((path) => {
      const second = toPartnerPath(toPathToRank(path));
      return second === undefined ? [] : [[path.path, second.path] as const];
    }),
  );
}

/**
 * A round in which each side of a stereo bus is a path of its own, of a family of its own, with what
 * stands out on it: for whatever judges path by path. A fault of a shared part is of the sides that
 * show it. A mono round is left as it is.
 *
 * @returns a round to be judged, not to be stored
 */
export function withSides(round: Round): Round {
  const seconds = listSecondSides(round);
  if (seconds.size === 0) return round;
  const side = round.paths.find(({ partner }) => partner !== undefined)?.partner?.side;
  return {
    ...round,
    paths: round.paths.flatMap(partPath),
    ...(round.shared === undefined
      ? {}
      : { shared: round.shared.map((fault) => partFault(fault, seconds, side)) }),
  };
}

function partPath(whole: RoundPath): readonly RoundPath[] {
  const second = toPartnerPath(toPathToRank(whole));
  const { partner, ...first } = whole;
  if (second === undefined || partner === undefined) return [whole];
  const { measurement, unheard, path, family } = second;
  const own = whole.findings.filter(({ side }) => side === partner.side);
  const spoken = own.some(({ severity }) => severity !== "remark");
  const { rank: _, reason: __, otherTakes: ___, ...common } = first;
  return [
    {
      ...first,
      findings: whole.findings.filter(({ side }) => side !== partner.side),
      causes: spoken ? [] : whole.causes,
    },
    {
      ...common,
      path,
      family,
      status: measurement === undefined ? "unusable" : "measured",
      ...(unheard === undefined ? {} : { reason: unheard }),
      readings: measurement?.readings ?? {},
      absent: measurement?.absent ?? {},
      curves: measurement?.curves ?? {},
      findings: own,
      causes: spoken ? whole.causes : [],
    },
  ];
}

function partFault(
  fault: RoundShared,
  seconds: ReadonlyMap<string, string>,
  second: "left" | "right" | undefined,
): RoundShared {
  const { side } = fault.part;
  const others = fault.paths.flatMap((path) => seconds.get(path) ?? []);
  if (side === undefined) return { ...fault, paths: [...fault.paths, ...others] };
  return side === second ? { ...fault, paths: others } : fault;
}
