import type { DeskPath } from "../../desk/types.js";
import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import type { EmptyCaptureNoise, LoudSound } from "../../rank/family-stats.js";
import type { MeasuredTakes } from "../takes/measure-takes.js";

/** Whether it is too loud to be the noise of a stage. */
export function isLoud({ levelDbfs }: LoudSound): boolean {
  return levelDbfs > loudDbfs;
}

/** Noise or hum of a stage with open input stays below this; louder is some other sound. */
const loudDbfs = -45;

/**
 * Compares captures without a return with the noise of their siblings: a working stage without a
 * source is as noisy as its siblings, a dead one is not.
 *
 * @param recorded all takes as recorded, levels in dBFS
 *
 * @param heard contents of the captures without a return, by path
 *
 * @returns only paths with siblings whose noise was measured
 */
export function computeEmptyCaptureNoise(
  paths: readonly DeskPath[],
  recorded: MeasuredTakes,
  heard: ReadonlyMap<string, LoudSound>,
): ReadonlyMap<string, EmptyCaptureNoise> {
  const noises = new Map<string, number[]>();
  for (const { path, family } of paths) {
    const noise = recorded.get(path)?.find(({ measurement }) => measurement)?.measurement?.readings[
      getReadingId("noise")
    ];
    if (noise) noises.set(family, [...(noises.get(family) ?? []), noise.value]);
  }
  const usual = new Map([...noises].map(([family, values]) => [family, median(values)]));
  const quietest = Math.min(...usual.values());
  return new Map(
    paths.flatMap(({ path, family }): [string, EmptyCaptureNoise][] => {
      const sound = heard.get(path);
      const siblings = usual.get(family);
      if (sound === undefined || siblings === undefined) return [];
      const aboveSiblingsDb = sound.levelDbfs - siblings;
      const alone = usual.size === 1;
      const added = alone ? {} : { siblingsAboveQuietestDb: siblings - quietest };
      return [[path, { aboveSiblingsDb, ...added }]];
    }),
  );
}
