import { sectionKinds } from "../../desk/section-kinds.js";
import type { PlanItem, PlanPlace } from "./types.js";

/** Groups items by section: sections that feed others first. */
export function groupBySection(items: readonly PlanItem[]): readonly PlanPlace[] {
  const names = [...new Set(items.map(({ strip }) => strip))];
  return names
    .map((section): PlanPlace => {
      const own = items.filter(({ strip }) => strip === section);
      return { section, kind: own[0].sectionKind ?? "other", items: own };
    })
    .sort(
      (a, b) =>
        sectionKinds.indexOf(a.kind) - sectionKinds.indexOf(b.kind) ||
        a.section.localeCompare(b.section, "en", { numeric: true }),
    );
}
