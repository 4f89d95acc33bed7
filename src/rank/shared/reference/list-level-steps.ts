import { getReadingId } from "../../../measure/reading-kinds.js";
import type { SharedFault } from "../types.js";
import type { LevelDrift } from "./types.js";

/** Decibels; a smaller step of the level is reported only with the reference path. */
const leastStepDb = 1.2;
/** Decibels; with a larger step the round should be made again. */
const graveDb = 1.8;

/**
 * Reports a level changed during a round as a fault shared by the paths after it.
 *
 * @example
 * const turns = new Map([["1/mic", 0], ["2/mic", 1], ["3/mic", 2]]);
 * const [step] = listLevelSteps({ course: "step", changeDb: -3, from: "2/mic" }, turns);
 * step.paths; // ["2/mic", "3/mic"]
 * listLevelSteps({ course: "creep", changeDb: -3 }, turns); // []
 */
export function listLevelSteps(
  { course, changeDb, from }: LevelDrift,
  turns: ReadonlyMap<string, number>,
): readonly SharedFault[] {
  if (course !== "step" || from === undefined || Math.abs(changeDb) < leastStepDb) return [];
  const paths = [...turns.keys()];
  return [
    {
      part: { kind: "level" },
      paths: paths.slice(paths.indexOf(from)),
      findings: [
        {
          reading: getReadingId("gain"),
          deviation: changeDb,
          unit: "dB",
          value: changeDb,
          expected: 0,
        },
      ],
      aspect: "level",
      against: "reference-path",
      severity: Math.abs(changeDb) >= graveDb ? "service" : "watch",
      reference: "shows",
    },
  ];
}
