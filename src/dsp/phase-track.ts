/** Amplitude and phase of a tone, piece by piece. */
export interface PhaseTrack {
  /** Samples per piece. */
  readonly step: number;
  readonly amplitudes: Float64Array;
  /** Radians against cos(2π·frequency·n) that runs through all samples. */
  readonly phases: Float64Array;
}

/**
 * Follows a tone of known frequency through samples: its projection onto each of consecutive
 * pieces.
 *
 * @param frequency cycles per sample
 * @param step samples of a piece, a few whole periods
 * @example
 * const tone = Float64Array.from({ length: 4800 }, (_, n) => 2 * Math.cos((2 * Math.PI * n) / 48));
 * trackPhase(tone, 1 / 48, 480).amplitudes[3].toFixed(6); // "2.000000"
 */
export function trackPhase(samples: Float64Array, frequency: number, step: number): PhaseTrack {
  const count = Math.floor(samples.length / step);
  const amplitudes = new Float64Array(count);
  const phases = new Float64Array(count);
  const omega = 2 * Math.PI * frequency;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  for (let b = 0; b < count; b++) {
    const turns = frequency * b * step;
    let c = Math.cos(2 * Math.PI * (turns - Math.floor(turns)));
    let s = Math.sin(2 * Math.PI * (turns - Math.floor(turns)));
    let re = 0;
    let im = 0;
    for (let n = b * step; n < (b + 1) * step; n++) {
      re += samples[n] * c;
      im -= samples[n] * s;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
    amplitudes[b] = (2 * Math.hypot(re, im)) / step;
    phases[b] = Math.atan2(im, re);
  }
  return { step, amplitudes, phases };
}

/** A step of the phase between two stretches in which it advances evenly. */
export interface PhaseJump {
  /** Sample near which it occurs, to within a piece. */
  readonly at: number;
  /** Radians, −π to π. */
  readonly radians: number;
  /** One standard deviation of it, radians, from the scatter of the usual steps. */
  readonly stdDev: number;
}

/** The course of a tone's phase. */
export interface PhaseJumps {
  /** Radians from piece to piece, between the jumps. */
  readonly slope: number;
  readonly jumps: readonly PhaseJump[];
}

/** A step this many robust standard deviations off the usual one may be a jump. */
const outlying = 8;
/** Pieces that a disturbance may hide between two of its steps. */
const near = 5;

/**
 * Jumps of a tone's phase: lost or repeated samples. An even slope is a
 * difference of clocks, not a jump; neither is a gap after which the phase continues as before.
 * @param leastRad jumps smaller than this are not reported
 * @example
 * const at = (n) => Math.cos((2 * Math.PI * (n < 24000 ? n : n + 5)) / 48);
 * const tone = Float64Array.from({ length: 48000 }, (_, n) => at(n));
 * const { jumps } = findPhaseJumps(trackPhase(tone, 1 / 48, 480), 0.1);
 * jumps[0].radians.toFixed(3); // "0.654"
 */
export function findPhaseJumps({ phases, step }: PhaseTrack, leastRad: number): PhaseJumps {
  const count = phases.length - 1;
  if (count < 4) return { slope: 0, jumps: [] };
  const steps = new Float64Array(count);
  for (let b = 0; b < count; b++) steps[b] = wrapPhase(phases[b + 1] - phases[b]);
  const usual = middle(steps);
  const scale = 1.4826 * middle(steps.map((d) => Math.abs(wrapPhase(d - usual))));
  const least = Math.max(leastRad / 2, outlying * scale);
  const jumps: PhaseJump[] = [];
  for (let b = 0; b < count; b++) {
    if (Math.abs(wrapPhase(steps[b] - usual)) < least) continue;
    // Steps close together belong to one disturbance: only what it leaves for good is a jump. The
    // pieces at its edges are a little disturbed as well.
    let end = b;
    for (let k = b + 1; k < count && k - end <= near; k++) {
      if (Math.abs(wrapPhase(steps[k] - usual)) >= least) end = k;
    }
    const inside = b > 0 && end < count - 1;
    let sum = 0;
    for (let k = Math.max(0, b - 1); k <= Math.min(count - 1, end + 1); k++) {
      sum += steps[k] - usual;
    }
    const radians = wrapPhase(sum);
    if (inside && Math.abs(radians) >= Math.max(leastRad, least)) {
      jumps.push({ at: Math.round(((b + end + 2) / 2) * step), radians, stdDev: scale });
    }
    b = end;
  }
  return { slope: usual, jumps };
}

/**
 * An angle wrapped to −π … π.
 *
 * @example
 * wrapPhase(2 * Math.PI + 0.5); // 0.5
 */
export function wrapPhase(radians: number): number {
  return radians - 2 * Math.PI * Math.round(radians / (2 * Math.PI));
}

function middle(values: Float64Array): number {
  return values.slice().sort()[values.length >> 1];
}
