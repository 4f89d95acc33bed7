import type { PlannedPlay } from "../../desk/passes.js";
import { getStripPartKind } from "../../desk/shared-kinds.js";
import type { DeskPath } from "../../desk/types.js";
import type { NamedPart, SharedPartKind } from "../../rank/shared/types.js";
import { groupBy } from "../../text/group-by.js";
import type { PlayedPasses } from "../place/place-passes.js";

/**
 * Parts that paths went through in the recorded passes: outputs of the interface with their cables,
 * and buses. A fault that moves with one of them is not in the strips.
 */
export function listPassParts({ plan, heard }: PlayedPasses): readonly NamedPart[] {
  const plays = plan.passes
    .filter(({ number }) => heard.includes(number))
    .flatMap((pass) => pass.plays);
  const outputs = groupBy(plays, ({ output }) => output);
  const buses = groupBy(
    plays.filter(({ bus }) => bus !== undefined),
    ({ bus }) => bus ?? "",
  );
  return [
    ...[...outputs].map(([output, own]) => partOf("output", `output ${output}`, own)),
    ...[...buses].map(([bus, own]) =>
      partOf(getStripPartKind(bus) === "group" ? "group" : "bus", bus, own),
    ),
  ];
}

function partOf(kind: SharedPartKind, name: string, plays: readonly PlannedPlay[]): NamedPart {
  return {
    kind,
    name,
    strips: [...new Set(plays.map(({ strip }) => strip))],
    paths: plays.map(({ path }) => path),
  };
}

/**
 * Number of paths of one family through a part needed to distinguish its fault from faults of the
 * paths.
 */
const leastOfFamily = 2;

/**
 * Odd paths for which strip and output cannot be separated: too few others of their family were fed
 * by the same output.
 *
 * @param odd paths with findings
 */
export function listFedAlone(
  { plan, heard }: PlayedPasses,
  paths: readonly Pick<DeskPath, "path" | "family">[],
  odd: readonly string[],
): readonly string[] {
  const families = new Map(paths.map(({ path, family }) => [path, family]));
  const plays = plan.passes
    .filter(({ number }) => heard.includes(number))
    .flatMap((pass) => pass.plays);
  return odd.filter((path) => {
    const own = plays.find((play) => play.path === path);
    if (own === undefined) return false;
    const alike = plays.filter(
      (play) =>
        play.output === own.output &&
        play.strip !== own.strip &&
        families.get(play.path) === families.get(path),
    );
    return alike.length + 1 < leastOfFamily;
  });
}
