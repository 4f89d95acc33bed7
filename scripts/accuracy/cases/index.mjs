import * as anyRate from "./any-rate.mjs";
import * as breaks from "./breaks.mjs";
import * as burstiness from "./burstiness.mjs";
import * as calibratedNoise from "./calibrated-noise.mjs";
import * as clicks from "./clicks.mjs";
import * as clipping from "./clipping.mjs";
import * as corners from "./corners.mjs";
import * as crosstalk from "./crosstalk.mjs";
import * as harmonicCurves from "./harmonic-curves.mjs";
import * as harmonics from "./harmonics.mjs";
import * as mainsDimmer from "./mains/dimmer.mjs";
import * as mainsNone from "./mains/none.mjs";
import * as mainsPink from "./mains/pink.mjs";
import * as mainsRandomSets from "./mains/random-sets.mjs";
import * as mainsStray from "./mains/stray.mjs";
import * as mainsUpper from "./mains/upper.mjs";
import * as memory from "./memory.mjs";
import * as ordinary from "./ordinary.mjs";
import * as quasiPeak from "./quasi-peak.mjs";
import * as stereo from "./stereo.mjs";
import { mainsOnTone, reddened } from "./tone-in-noise.mjs";
import * as unlikeWords from "./unlike-words.mjs";
import * as unsteady from "./unsteady.mjs";

/**
 * Kinds of random returns: each draws one, measures it and holds what was read against the truth.
 * Readings of another kind of return are left to that.
 */
export const cases = {
  ordinary,
  harmonics,
  harmonicCurves,
  clipping,
  unsteady,
  clicks,
  burstiness,
  breaks,
  stereo,
  stereoOtherRates: stereo.otherRates,
  crosstalk,
  crosstalkOtherRates: crosstalk.otherRates,
  quasiPeak,
  memory,
  cornersUnderHum: corners.underHum,
  shapes: corners.shapes,
  calibrated: corners.calibrated,
  calibratedNoise,
  unlikeWords,
  mainsNone,
  mainsRandomSets,
  mainsUpper,
  mainsDimmer,
  mainsPink,
  mainsStray,
  mainsOnTone,
  reddened,
  anyRate,
};
