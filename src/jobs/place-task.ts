import { type Pair, placeReturn } from "../capture/find.js";
import type { Return, WavInfo } from "../capture/types.js";
import { readerOf } from "./thread-files.js";

/** Some returns of a capture, known by their markers, to be placed: plain data. */
export interface PlaceTask {
  readonly info: WavInfo;
  readonly pairs: readonly Pair[];
}

/** Places returns to a fraction of a sample. */
export function runPlaceTask({ info, pairs }: PlaceTask): readonly Return[] {
  const reader = readerOf(info);
  return pairs.map((pair) => placeReturn(reader, pair));
}
