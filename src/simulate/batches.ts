import { DeskroundError } from "../errors.js";
import type { Amplifier, Capacitor, PathValues } from "./types.js";

/** Work done on some strips of a desk but not on others, as a change of nominal values. */
export interface BatchWork {
  /** Plain words. */
  readonly what: string;
  readonly apply: (values: PathValues) => PathValues;
}

/** New parts of a better series: the next higher value, with smaller parasitics. */
function renewed(capacitor: Capacitor, more: number): Capacitor {
  return {
    farad: capacitor.farad * more,
    seriesOhm: capacitor.seriesOhm * 0.5,
    second: capacitor.second * 0.4,
    third: capacitor.third * 0.4,
  };
}

/** A later type: quieter, faster and more linear, but it swings less close to its rails. */
function later(amplifier: Amplifier): Amplifier {
  return {
    ...amplifier,
    gainBandwidthHz: amplifier.gainBandwidthHz * 1.6,
    noiseV: amplifier.noiseV * 0.7,
    flickerHz: amplifier.flickerHz * 0.5,
    second: amplifier.second * 0.2,
    third: amplifier.third * 0.2,
    saturationV: amplifier.saturationV + 1,
  };
}

export const batchWorks = {
  recapped: {
    what: "all electrolytics renewed",
    apply: (values) => ({
      ...values,
      // 6.8 µF to 10 µF, 470 µF to 1000 µF, 22 µF to 47 µF: the next higher values in stock.
      coupling: renewed(values.coupling, 10 / 6.8),
      gain: { ...values.gain, legCapacitor: renewed(values.gain.legCapacitor, 1000 / 470) },
      supply: { ...values.supply, decouplingFarad: values.supply.decouplingFarad * 1.5 },
    }),
  },
  "other-op-amp": {
    what: "another type of op amp",
    apply: (values) => ({
      ...values,
      gain: { ...values.gain, amplifier: later(values.gain.amplifier) },
    }),
  },
} satisfies Record<string, BatchWork>;

export type BatchName = keyof typeof batchWorks;

/**
 * Applies the work of a batch to a path. @throws DeskroundError when there is no work of that name
 */
export function applyBatch(values: PathValues, name: string): PathValues {
  if (Object.hasOwn(batchWorks, name)) return batchWorks[name as BatchName].apply(values);
  throw new DeskroundError(
    "usage",
    `The virtual desk knows no batch “${name}”.`,
    `Known: ${Object.keys(batchWorks).join(", ")}.`,
  );
}
