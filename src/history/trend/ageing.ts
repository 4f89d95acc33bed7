import type { AgeingFacet } from "../../measure/reading-kind.js";
import { readingKinds } from "../../measure/reading-kinds.js";

/** A reading that shows ageing. */
export interface AgeingIndicator extends AgeingFacet {
  readonly reading: string;
}

/** In the order in which they are reported. */
export const ageingIndicators: readonly AgeingIndicator[] = readingKinds
  .flatMap(({ id, ageing }) => (ageing === undefined ? [] : [{ reading: id, ...ageing }]))
  .sort((a, b) => a.order - b.order);
