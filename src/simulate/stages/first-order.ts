import type { Stage } from "../types.js";

/**
 * A pole and a zero whose magnitude is right at 0 Hz and at two frequencies of choice. The trapezoidal
 * rule would bring a roll-off near half the sample rate forward; this does not. For one pole and
 * one zero |H|² is (1 + b·φ)/(1 + a·φ) with φ = sin²(πf/fs), so two values of |H|² give a and b.
 *
 * @param magnitude |H| of the circuit at a frequency in hertz, 1 at 0 Hz
 */
export function firstOrder(
  magnitude: (frequencyHz: number) => number,
  firstHz: number,
  secondHz: number,
  sampleRate: number,
): Stage {
  const phi1 = Math.sin((Math.PI * firstHz) / sampleRate) ** 2;
  const phi2 = Math.sin((Math.PI * secondHz) / sampleRate) ** 2;
  const h1 = magnitude(firstHz) ** 2;
  const h2 = magnitude(secondHz) ** 2;
  const rise1 = (h1 - 1) / phi1;
  const rise2 = (h2 - 1) / phi2;
  const a = h1 === h2 ? 0 : (rise1 - rise2) / (h2 - h1);
  const b = rise1 + h1 * a;
  const pole = root(a);
  const zero = root(b);
  const scale = (1 - pole) / (1 - zero);
  let last = 0;
  let out = 0;
  return (block) => {
    let x1 = last;
    let y1 = out;
    for (let i = 0; i < block.length; i++) {
      const x = block[i];
      y1 = scale * (x - zero * x1) + pole * y1;
      x1 = x;
      block[i] = y1;
    }
    last = x1;
    out = y1;
  };
}

/** p with 4p/(1 − p)² = a, inside the unit circle: 1 − 2p·cos + p² ∝ 1 + a·φ. */
function root(a: number): number {
  // 1 + a·φ of a circuit's own roll-off stays positive; a fit that does not is no such circuit.
  const bounded = Math.max(a, -0.999);
  return Math.abs(bounded) < 1e-12 ? 0 : (bounded + 2 - 2 * Math.sqrt(bounded + 1)) / bounded;
}

/**
 * A resistor and a capacitor to ground, within 0.05 dB up to 0.42 of the sample rate: the pole where
 * the circuit has it (e^(−2πfc/fs)), and a pole and a zero for what the magnitude still lacks.
 */
export function rcLowPass(cornerHz: number, sampleRate: number): Stage[] {
  const pole = Math.exp((-2 * Math.PI * cornerHz) / sampleRate);
  const slope = (4 * pole) / (1 - pole) ** 2;
  const lacking = (frequencyHz: number) => {
    const phi = Math.sin((Math.PI * frequencyHz) / sampleRate) ** 2;
    return Math.sqrt(1 + slope * phi) / Math.hypot(1, frequencyHz / cornerHz);
  };
  return [onePole(pole), firstOrder(lacking, 0.302 * sampleRate, 0.406 * sampleRate, sampleRate)];
}

function onePole(pole: number): Stage {
  let out = 0;
  return (block) => {
    let y = out;
    for (let i = 0; i < block.length; i++) {
      y = block[i] + pole * (y - block[i]);
      block[i] = y;
    }
    out = y;
  };
}
