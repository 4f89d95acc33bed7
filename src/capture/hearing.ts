/** What was heard on a channel as a whole, to tell why no return was found. */
export interface Heard {
  readonly frames: number;
  /** Largest magnitude, full scale 1. */
  readonly peak: number;
  readonly rms: number;
  /** Samples within a hair of full scale. */
  readonly atFullScale: number;
}

/** Listens to a channel block by block. */
export interface Hearing {
  push(samples: Float64Array, from: number, until: number): void;
  heard(): Heard;
}

const nearFullScale = 0.9999;

export function hearing(): Hearing {
  let frames = 0;
  let peak = 0;
  let squares = 0;
  let atFullScale = 0;
  return {
    push(samples, from, until) {
      // Sums in locals: a captured variable would be boxed anew at every sample.
      let sum = 0;
      let highest = peak;
      let full = 0;
      for (let i = from; i < until; i++) {
        const size = Math.abs(samples[i]);
        sum += size * size;
        if (size > highest) highest = size;
        if (size >= nearFullScale) full++;
      }
      peak = highest;
      squares += sum;
      atFullScale += full;
      frames += Math.max(0, until - from);
    },
    heard: () => ({
      frames,
      peak,
      rms: frames === 0 ? 0 : Math.sqrt(squares / frames),
      atFullScale,
    }),
  };
}

/** What was heard in stretches of a channel, as one. */
export function heardTogether(stretches: readonly Heard[]): Heard {
  const sum = (of: (one: Heard) => number) => stretches.reduce((all, one) => all + of(one), 0);
  const frames = sum((one) => one.frames);
  return {
    frames,
    peak: Math.max(0, ...stretches.map((one) => one.peak)),
    rms: frames === 0 ? 0 : Math.sqrt(sum((one) => one.rms ** 2 * one.frames) / frames),
    atFullScale: sum((one) => one.atFullScale),
  };
}
