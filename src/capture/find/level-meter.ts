import { type InvalidSpan, mergeInvalidSpans } from "./invalid-samples.js";

/** Overall levels of a channel, to explain why no return was found. */
export interface ChannelLevels {
  readonly frames: number;
  /** Largest magnitude, full scale 1. */
  readonly peak: number;
  readonly rms: number;
  /** Samples within a hair of full scale. */
  readonly atFullScale: number;
  /** Ranges of invalid samples, in order of time. */
  readonly bad: readonly InvalidSpan[];
}

/** Measures a channel block by block. */
export interface LevelMeter {
  push(samples: Float64Array, from: number, until: number): void;
  heard(): Omit<ChannelLevels, "bad">;
}

const nearFullScale = 0.9999;

/**
 * Creates a meter of a channel: peak, r.m.s. and samples at full scale.
 *
 * @example
 * const meter = createLevelMeter();
 * meter.push(Float64Array.of(0.6, -0.8), 0, 2);
 * meter.heard().peak; // 0.8
 * // √((0.36 + 0.64)/2)
 * meter.heard().rms; // 0.707107
 */
export function createLevelMeter(): LevelMeter {
  let frames = 0;
  let peak = 0;
  let squares = 0;
  let atFullScale = 0;
  return {
    push(samples, from, until) {
      const { sum, most } = squaresOf(samples.subarray(from, Math.max(from, until)));
      squares += sum;
      frames += Math.max(0, until - from);
      // In binary floating point the root of a square is the exact magnitude.
      const highest = Math.sqrt(most);
      if (highest > peak) peak = highest;
      if (highest < nearFullScale) return;
      for (let i = from; i < until; i++) if (Math.abs(samples[i]) >= nearFullScale) atFullScale++;
    },
    heard: () => ({
      frames,
      peak,
      rms: frames === 0 ? 0 : Math.sqrt(squares / frames),
      atFullScale,
    }),
  };
}

/** Sum and largest of the squares; two sums, so that additions need not wait for each other. */
function squaresOf(samples: Float64Array) {
  const pairs = samples.length - (samples.length % 2);
  let even = 0;
  let odd = 0;
  let most = 0;
  for (let i = 0; i < pairs; i += 2) {
    const a = samples[i] * samples[i];
    const b = samples[i + 1] * samples[i + 1];
    even += a;
    odd += b;
    if (a > most) most = a;
    if (b > most) most = b;
  }
  if (pairs < samples.length) {
    const a = samples[pairs] * samples[pairs];
    even += a;
    if (a > most) most = a;
  }
  return { sum: even + odd, most };
}

/**
 * Merges the levels of several blocks of a channel.
 *
 * @example
 * const of = (frames, rms) => ({ frames, peak: rms, rms, atFullScale: 0, bad: [] });
 * // As powers, each by its length: √((0.36 + 0.64)/2).
 * mergeChannelLevels([of(100, 0.6), of(100, 0.8)], 48_000).rms; // 0.707107
 */
export function mergeChannelLevels(
  stretches: readonly ChannelLevels[],
  sampleRate: number,
): ChannelLevels {
  const sum = (of: (one: ChannelLevels) => number) =>
    stretches.reduce((all, one) => all + of(one), 0);
  const frames = sum((one) => one.frames);
  return {
    frames,
    peak: Math.max(0, ...stretches.map((one) => one.peak)),
    rms: frames === 0 ? 0 : Math.sqrt(sum((one) => one.rms ** 2 * one.frames) / frames),
    atFullScale: sum((one) => one.atFullScale),
    bad: mergeInvalidSpans(
      stretches.flatMap(({ bad }) => bad),
      sampleRate,
    ),
  };
}
