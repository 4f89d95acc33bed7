import type { ControlReport } from "./types.js";

/**
 * Number of controls whose movement shows in the level, or that made a noise; a pass without any
 * proves nothing.
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
