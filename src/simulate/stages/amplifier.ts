import type { Rng } from "../rng.js";
import type { Amplifier, Stage } from "../types.js";
import { firstOrder } from "./first-order.js";
import { whiteNoise } from "./noise.js";

/**
 * Bandwidth of a stage: a pole at gain-bandwidth over noise gain. One that oscillates has lost its
 * phase margin and lifts what lies below the oscillation, like a resonance of Q ≫ 1.
 */
export function bandwidth(amplifier: Amplifier, noiseGain: number, sampleRate: number): Stage[] {
  const cornerHz = amplifier.gainBandwidthHz / noiseGain;
  const { oscillationV, oscillationHz } = amplifier;
  const steady = oscillationV === 0;
  // Beyond this the loss at 20 kHz is below a thousandth of a decibel.
  if (steady && cornerHz > 20 * sampleRate) return [];
  const magnitude = (frequencyHz: number) => {
    const lift = steady ? 1 : 1 / Math.abs(1 - (frequencyHz / oscillationHz) ** 2);
    return lift / Math.hypot(1, frequencyHz / cornerHz);
  };
  return [firstOrder(magnitude, 10_000, 20_000, sampleRate)];
}

/** Part of the way to the limit after which the output bends. */
const kneePart = 0.92;

/**
 * What the output stage does to a voltage: its curvature, the gap between its halves, the limits
 * its rails set, gently reached. An oscillation takes its own amplitude from both limits.
 */
export function outputStage(amplifier: Amplifier): Stage {
  const { second, third, railHighV, railLowV, saturationV, crossoverV, oscillationV } = amplifier;
  const least = 0.05;
  const high = Math.max(least, railHighV - saturationV - oscillationV);
  const low = Math.max(least, -railLowV - saturationV - oscillationV);
  const kneeHigh = kneePart * high;
  const kneeLow = kneePart * low;
  const gap = gapStage(crossoverV);
  const burst = burstStage(oscillationV);
  return (block) => {
    gap?.(block);
    burst?.(block);
    for (let i = 0; i < block.length; i++) {
      const x = block[i];
      const v = x + x * x * (second + third * x);
      if (v > kneeHigh) block[i] = bend(v, kneeHigh, high);
      else if (v < -kneeLow) block[i] = -bend(-v, kneeLow, low);
      else block[i] = v;
    }
  };
}

/** From the knee on towards the limit, with the slope 1 at the knee. */
function bend(v: number, knee: number, limit: number): number {
  return knee + (limit - knee) * Math.tanh((v - knee) / (limit - knee));
}

/** Crossover: both halves are nearly shut about 0 V, so a strip of the swing is lost. */
function gapStage(gapV: number): Stage | undefined {
  if (gapV === 0) return undefined;
  const width = 1.5 * gapV;
  return (block) => {
    for (let i = 0; i < block.length; i++) {
      const v = block[i];
      block[i] = v - (gapV * v) / (Math.abs(v) + width);
    }
  };
}

/**
 * An oscillation that breaks out on the upper half of the wave is rectified by the stage's uneven
 * slewing: the mean of the output bends from there on.
 */
function burstStage(oscillationV: number): Stage | undefined {
  if (oscillationV === 0) return undefined;
  const startV = 0.25;
  const softV = 0.1;
  const slope = 0.02 * oscillationV;
  return (block) => {
    for (let i = 0; i < block.length; i++) {
      const over = block[i] - startV;
      block[i] -= 0.5 * slope * (over + Math.sqrt(over * over + softV * softV));
    }
  };
}

/** Noise of the bends' wandering per volt of oscillation, 1/√Hz; a guess at the order. */
const unrest = 6e-7;

/** The oscillation itself, where the sample rate lets it be seen, and the noise that it brings. */
export function createOscillationStages(
  amplifier: Amplifier,
  rng: Rng,
  sampleRate: number,
): Stage[] {
  const { oscillationV, oscillationHz } = amplifier;
  if (oscillationV === 0) return [];
  const noise = whiteNoise(unrest * oscillationV, rng, sampleRate);
  if (oscillationHz > 0.45 * sampleRate) return [noise];
  const step = oscillationHz / sampleRate;
  let cycles = 0;
  const tone: Stage = (block) => {
    for (let i = 0; i < block.length; i++) {
      block[i] += oscillationV * Math.sin(2 * Math.PI * cycles);
      cycles = (cycles + step) % 1;
    }
  };
  return [noise, tone];
}
