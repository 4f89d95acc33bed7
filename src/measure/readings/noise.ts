import { powerDb } from "../../dsp/decibels.js";
import { aWeighting } from "../../dsp/weighting.js";
import { bandPower } from "../../dsp/welch.js";
import type { ReadingKind } from "../kind.js";
import { noisePowerDb } from "../power-uncertainty.js";
import { digitalZero, type Quiet } from "../quiet.js";

/** Edges of the noise band, Hz (IEC 60268-1, 22.4 Hz to 22.4 kHz). */
const noiseBand = { fromHz: 22.4, toHz: 22_400 } as const;

/** What window and band edges add, decibels at 95 %. */
const methodDb = 0.005;

const flat = () => 1;

/** Sum of mains lines with weights, and its standard deviation. */
function linesPower({ lines }: Quiet, weight: (hz: number) => number) {
  let power = 0;
  let squares = 0;
  lines?.amplitudes.forEach((a, k) => {
    const w = weight((k + 1) * lines.frequencyHz);
    const v = lines.variances[k];
    const own = (a * a) / 2 - v;
    power += w * own;
    squares += w * w * (2 * Math.max(0, own) * v + v * v);
  });
  return { power, deviation: Math.sqrt(squares) };
}

/**
 * The window spreads each frequency over neighbouring bins, with a variance of a third of a bin
 * squared; a weight that bends over that width is bent back by as much.
 */
function sharpened(weight: (hz: number) => number, stepHz: number): (hz: number) => number {
  return (hz) => {
    const here = weight(hz);
    return here - (weight(hz + stepHz) - 2 * here + weight(hz - stepHz)) / 6;
  };
}

function noiseKind(
  kind: Pick<ReadingKind, "id" | "name" | "least" | "own">,
  weight: (hz: number) => number,
  parts: "hiss" | "hiss and hum",
): ReadingKind {
  return {
    unit: "dBFS",
    harm: "up",
    segment: "silence",
    ...kind,
    read(context) {
      const quiet = context.quiet();
      if (typeof quiet === "string") return { absent: quiet };
      const toHz = Math.min(noiseBand.toHz, context.audio.sampleRate / 2);
      const { spectrum } = quiet;
      const sharp = weight === flat ? flat : sharpened(weight, spectrum.stepHz);
      const hiss = bandPower(spectrum, noiseBand.fromHz, toHz, sharp);
      const hum = parts === "hiss" ? { power: 0, deviation: 0 } : linesPower(quiet, weight);
      const power = hiss.power + hum.power;
      if (!(power > 0)) return { absent: digitalZero };
      const noiseDb = noisePowerDb(power, Math.hypot(hiss.deviation, hum.deviation));
      // Full-scale sine: power one half is 0 dBFS.
      return {
        value: powerDb(2 * power),
        unit: "dBFS",
        uncertainty: Math.hypot(methodDb, noiseDb),
      };
    },
  };
}

/** R.m.s. noise as heard, hum included, 22.4 Hz to 22.4 kHz, or half the sample rate where less. */
export const noise = noiseKind(
  { id: "noise", name: "noise", least: 2, own: { adds: "power", steady: "hum" } },
  flat,
  "hiss and hum",
);

/** R.m.s. noise as heard, A-weighted (IEC 61672-1). */
export const noiseA = noiseKind(
  { id: "noiseA", name: "noise (A-weighted)", least: 2, own: { adds: "power" } },
  (hz) => aWeighting(hz) ** 2,
  "hiss and hum",
);

/** R.m.s. noise without the lines of the mains, 22.4 Hz to 22.4 kHz. */
export const hiss = noiseKind(
  { id: "hiss", name: "hiss", least: 2, own: { adds: "power" } },
  flat,
  "hiss",
);
