import { powerDb } from "../../dsp/decibels.js";
import { aWeighting } from "../../dsp/weighting.js";
import { bandPower } from "../../dsp/welch.js";
import type { ReadingKind } from "../kind.js";

/** Edges of the noise band, Hz (IEC 60268-1, 22.4 Hz to 22.4 kHz). */
const noiseBand = { fromHz: 22.4, toHz: 22_400 } as const;

/** What window and band edges add, decibels at 95 %. */
const methodDb = 0.02;

function noiseKind(
  id: string,
  name: string,
  least: number,
  weight: (hz: number) => number,
): ReadingKind {
  return {
    id,
    name,
    unit: "dBFS",
    harm: "up",
    least,
    segment: "silence",
    // Only the unweighted noise is on the same footing as the hum that is part of it.
    own: id === "noise" ? { adds: "power", steady: "hum" } : { adds: "power" },
    read(context) {
      const spectrum = context.silence();
      if (typeof spectrum === "string") return { absent: spectrum };
      const toHz = Math.min(noiseBand.toHz, context.audio.sampleRate / 2);
      const { power, deviation } = bandPower(spectrum, noiseBand.fromHz, toHz, weight);
      if (!(power > 0)) return { absent: "the silence is digital zero: nothing was recorded" };
      // Full-scale sine: power one half is 0 dBFS.
      const uncertainty = Math.hypot(methodDb, powerDb(1 + (2 * deviation) / power));
      return { value: powerDb(2 * power), unit: "dBFS", uncertainty };
    },
  };
}

/** R.m.s. noise, 22.4 Hz to 22.4 kHz, or half the sample rate where that is less. */
export const noise = noiseKind("noise", "noise", 2, () => 1);

/** R.m.s. noise, A-weighted (IEC 61672-1). */
export const noiseA = noiseKind("noiseA", "noise (A-weighted)", 2, (hz) => aWeighting(hz) ** 2);
