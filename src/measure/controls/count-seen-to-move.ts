import type { ControlReport } from "./types.js";

/**
 * Controls whose movement the level shows, or that were heard; a pass without any proves nothing.
 *
 * @example
 * const controls = [
 *   { moved: "seen", verdicts: ["sound"] },
 *   { moved: "not seen", verdicts: ["sound"] },
 *   { moved: "not seen", verdicts: ["scratchy"] },
 * ];
 * countSeenToMove([{ controls }]); // 2
 */
export function countSeenToMove(
  paths: readonly { readonly controls?: readonly ControlReport[] }[],
): number {
  const controls = paths.flatMap(({ controls: own = [] }) => own);
  return controls.filter(({ moved, verdicts }) => moved === "seen" || !verdicts.includes("sound"))
    .length;
}
