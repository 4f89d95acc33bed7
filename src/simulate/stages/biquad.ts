import { factorOfDb } from "../levels.js";
import type { Equaliser, LowCut, Stage } from "../types.js";

interface Coefficients {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

function biquad({ b0, b1, b2, a1, a2 }: Coefficients): Stage {
  let s1 = 0;
  let s2 = 0;
  return (block) => {
    let p = s1;
    let q = s2;
    for (let i = 0; i < block.length; i++) {
      const x = block[i];
      const y = b0 * x + p;
      p = b1 * x - a1 * y + q;
      q = b2 * x - a2 * y;
      block[i] = y;
    }
    s1 = p;
    s2 = q;
  };
}

/** Butterworth high-pass of second or third order, by the trapezoidal rule, corner kept. */
export function lowCut({ cornerHz, order }: LowCut, sampleRate: number): Stage[] {
  const w = Math.tan((Math.PI * cornerHz) / sampleRate);
  const secondOrder = (q: number): Stage => {
    const scale = 1 / (1 + w / q + w * w);
    return biquad({
      b0: scale,
      b1: -2 * scale,
      b2: scale,
      a1: 2 * scale * (w * w - 1),
      a2: scale * (1 - w / q + w * w),
    });
  };
  if (order === 2) return [secondOrder(Math.SQRT1_2)];
  const scale = 1 / (1 + w);
  const firstOrder = biquad({ b0: scale, b1: -scale, b2: 0, a1: scale * (w - 1), a2: 0 });
  return [firstOrder, secondOrder(1)];
}

/**
 * Peak and shelves of R. Bristow-Johnson, "Cookbook formulae for audio equalizer biquad filter
 * coefficients" (W3C Note, 2021).
 */
export function equaliser({ shape, centreHz, gainDb, q }: Equaliser, sampleRate: number): Stage {
  const amplitude = Math.sqrt(factorOfDb(gainDb));
  const w = (2 * Math.PI * centreHz) / sampleRate;
  const cos = Math.cos(w);
  const alpha = Math.sin(w) / (2 * q);
  if (shape === "peak") {
    const a0 = 1 + alpha / amplitude;
    return biquad({
      b0: (1 + alpha * amplitude) / a0,
      b1: (-2 * cos) / a0,
      b2: (1 - alpha * amplitude) / a0,
      a1: (-2 * cos) / a0,
      a2: (1 - alpha / amplitude) / a0,
    });
  }
  // The high shelf is the low shelf seen from the other end of the band.
  const side = shape === "low-shelf" ? 1 : -1;
  const plus = amplitude + 1;
  const minus = amplitude - 1;
  const tilt = side * cos;
  const skirt = 2 * Math.sqrt(amplitude) * alpha;
  const a0 = plus + minus * tilt + skirt;
  return biquad({
    b0: (amplitude * (plus - minus * tilt + skirt)) / a0,
    b1: (2 * side * amplitude * (minus - plus * tilt)) / a0,
    b2: (amplitude * (plus - minus * tilt - skirt)) / a0,
    a1: (-2 * side * (minus + plus * tilt)) / a0,
    a2: (plus + minus * tilt - skirt) / a0,
  });
}
