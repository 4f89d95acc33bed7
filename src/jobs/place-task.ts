import { type Pair, placeReturn } from "../capture/find.js";
import type { Return, WavInfo } from "../capture/types.js";
import { openSamples } from "../capture/wav.js";

/** Some returns of a capture, known by their markers, to be placed: plain data. */
export interface PlaceTask {
  readonly info: WavInfo;
  readonly pairs: readonly Pair[];
}

/** Places returns to a fraction of a sample. */
export function runPlaceTask({ info, pairs }: PlaceTask): readonly Return[] {
  const reader = openSamples(info);
  try {
    return pairs.map((pair) => placeReturn(reader, pair));
  } finally {
    reader.close();
  }
}
