import { powerToDb } from "../../dsp/decibels.js";
import { isAbsent } from "../absence.js";
import { computeNoiseUncertaintyDb } from "../power-uncertainty.js";
import type { ReadingKind } from "../reading-kind.js";
import { digitalZero } from "../silence-analysis.js";
import { computeHiddenTone } from "../strongest-tone.js";
import { isToneOfRounding } from "../word-length.js";

/** What window and wandering add to a tone's level, decibels at 95 %. */
const methodDb = 0.05;
/**
 * Hertz at 95 % that they add to its frequency: a sixtieth of a bin, because the outer bins are cut
 * off.
 */
const methodHz = 0.05;

/**
 * Level of the strongest steady tone in the silence that is not a mains line: an oscillating stage,
 * a switching supply, a screen or a clock. A tone masked by noise does not count; its possible
 * level is the bound.
 */
export const strayTone: ReadingKind<"strayTone"> = {
  id: "strayTone",
  name: "stray tone",
  unit: "dBFS",
  definition: "strongest steady tone in the silence that is no mains line and not hidden by noise",
  role: "stray-tone",
  source: "common practice; hidden: ISO/PAS 20065, from memory",
  segment: "silence",
  aspect: "noise",
  harm: "up",
  least: 4,
  // Strips differ in distance to the source, as with hum: a guess.
  priorScatter: 4,
  levelDependence: "noise",
  share: "power",
  shared: { order: 42, group: "strayTone", aspect: "noise", harm: "up", scatter: 4, least: 6 },
  evidence: { group: "strayTone", order: 45 },
  underHum: [-1, 10],
  commonChange: "set-up",
  own: { adds: "phase", at: "strayToneHz" },
  read(context) {
    const quiet = context.quiet();
    if (isAbsent(quiet)) return quiet;
    const tone = context.steadyTone();
    if (tone !== undefined && isAbsent(tone)) return tone;
    if (tone === undefined) {
      const hidden = computeHiddenTone(quiet.spectrum);
      if (!(hidden > 0)) return digitalZero;
      return {
        value: powerToDb(2 * hidden),
        unit: "dBFS",
        uncertainty: 6,
        limitedBy: "noise",
        bound: "upper",
      };
    }
    const noiseDb = computeNoiseUncertaintyDb(tone.power, tone.stdDev);
    // Full-scale sine: power one half is 0 dBFS.
    return {
      value: powerToDb(2 * tone.power),
      unit: "dBFS",
      uncertainty: Math.hypot(methodDb, noiseDb),
      ...(isToneOfRounding(tone.power, quiet.step) ? { limitedBy: "interface" as const } : {}),
    };
  },
};

/** Frequency of that tone. */
export const strayToneFrequency: ReadingKind<"strayToneHz"> = {
  id: "strayToneHz",
  role: "stray-tone-frequency",
  name: "frequency of the stray tone",
  unit: "Hz",
  definition: "frequency of `strayTone`, by the recorder's clock",
  source: "common practice",
  segment: "silence",
  aspect: "noise",
  harm: "none",
  least: 0,
  detail: true,
  read(context) {
    const tone = context.steadyTone();
    if (tone === undefined) return { absent: { code: "no-stray-tone" } };
    if (isAbsent(tone)) return tone;
    return { value: tone.hz, unit: "Hz", uncertainty: Math.hypot(methodHz, 2 * tone.deviationHz) };
  },
};
