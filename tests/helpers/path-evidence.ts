import { isPredicted, type Prediction } from "../../src/diagnose/cause-kind.js";
import { findCause } from "../../src/diagnose/causes.js";
import type { Feature, PathEvidence } from "../../src/diagnose/path-evidence.js";
import type { ReadingId } from "../../src/measure/reading-kinds.js";

export type Deviations = Readonly<Partial<Record<ReadingId, number>>>;

export const feature = (deviation: number, spread = 1): Feature => ({
  name: "a reading",
  unit: "dB",
  deviation,
  spread,
});

export const featuresOf = (deviations: Deviations, spread = 1): ReadonlyMap<ReadingId, Feature> =>
  new Map(
    Object.entries(deviations).map(([id, deviation]) => [
      id as ReadingId,
      feature(deviation, spread),
    ]),
  );

/** A path of which no more is known than how its readings differ, each with a spread of 1. */
export function evidence(deviations: Deviations, more: Partial<PathEvidence> = {}): PathEvidence {
  return {
    path: "1/mic",
    findings: [],
    unheard: undefined,
    measurement: undefined,
    usual: undefined,
    features: featuresOf(deviations),
    response: undefined,
    inputDbu: undefined,
    others: [],
    ...more,
  };
}

/** What a cause of the registry makes of a path. */
export function predict(id: string, path: PathEvidence): Prediction | undefined {
  const kind = findCause(id);
  if (kind === undefined || !isPredicted(kind)) throw new Error(`${id} predicts nothing`);
  return kind.predict(path);
}
