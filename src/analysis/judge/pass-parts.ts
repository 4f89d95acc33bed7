import type { PlannedPlay } from "../../desk/passes.js";
import { getStripPartKind } from "../../desk/shared-kinds.js";
import type { NamedPart, SharedPartKind } from "../../rank/shared/types.js";
import { groupBy } from "../../text/group-by.js";
import type { PlayedPasses } from "../place/place-passes.js";

/**
 * What paths went through in the passes that were heard: outputs of the interface with their cables,
 * and buses. A fault that goes with one of them is not the strips'.
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
