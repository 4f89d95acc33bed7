import { getReadingId } from "../measure/reading-kinds.js";
import type { Evidence } from "./evidence.js";
import { isOutlier, type PathEvidence } from "./path-evidence.js";

/**
 * A steady tone in the silence of a path that its siblings do not have, as evidence.
 *
 * @returns undefined if there is none
 * @example
 * findStrayTone({ features: new Map(), measurement: undefined }); // undefined
 */
export function findStrayTone(
  path: Pick<PathEvidence, "features" | "measurement">,
): Evidence | undefined {
  const id = getReadingId("stray-tone");
  if (!isOutlier(path, id, "up")) return undefined;
  const { [id]: tone, [getReadingId("stray-tone-frequency")]: frequency } =
    path.measurement?.readings ?? {};
  if (tone === undefined || frequency === undefined) return undefined;
  return { code: "stray-tone", hz: frequency.value, level: tone.value, unit: tone.unit };
}

/**
 * If a tone is this far below the hiss reading that includes it, decibels, less than half of the
 * hiss is noise.
 */
const mostDb = 3;

/**
 * Whether the hiss reading is mostly a steady tone, unlike the noise of a device.
 *
 * @example
 * isMostlyStrayTone({ features: new Map(), measurement: undefined }); // false
 */
export function isMostlyStrayTone(path: Pick<PathEvidence, "features" | "measurement">): boolean {
  const id = getReadingId("stray-tone");
  const { [id]: tone, [getReadingId("hiss")]: hiss } = path.measurement?.readings ?? {};
  if (tone === undefined || hiss === undefined || !isOutlier(path, id, "up")) return false;
  return tone.value > hiss.value - mostDb;
}
