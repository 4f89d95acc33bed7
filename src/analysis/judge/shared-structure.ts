import { getStripPartKind } from "../../desk/shared-kinds.js";
import type { Desk } from "../../desk/types.js";
import type { NamedPart, SharedStructure } from "../../rank/shared/types.js";

/** What the desk file says about the parts that strips share: its shared parts, and cards. */
export function buildSharedStructure({
  strips,
  flow,
  construction,
}: Pick<Desk, "strips" | "flow" | "construction">): SharedStructure {
  const shared = flow.shared.map(
    ({ name, kind, strips: own }): NamedPart => ({
      kind: kind ?? getStripPartKind(name),
      name,
      strips: own,
    }),
  );
  const cards = construction.parts.flatMap(({ kind, name, strips: own }): NamedPart[] =>
    kind === "card" && own.length < strips.length && !shared.some((part) => part.name === name)
      ? [{ kind: "bank", name, strips: own }]
      : [],
  );
  return { strips, parts: [...shared, ...cards] };
}
