import { type Rng, uniform } from "../rng.js";
import type { Stage, Supply } from "../types.js";

/** A line of the mains: a whole multiple of its frequency, peak volts. */
export interface MainsLine {
  readonly order: number;
  readonly peakV: number;
}

/** Points of one period; linear between them, which is good to 1 in 10⁵ at the ninth order. */
const points = 4096;

/**
 * Adds lines that are all tied to the mains.
 *
 * @param mainsHz the mains as it is during this capture
 * @param rng phases of the lines
 */
export function createMainsLinesStage(
  lines: readonly MainsLine[],
  mainsHz: number,
  rng: Rng,
  sampleRate: number,
): Stage {
  const period = new Float64Array(points + 1);
  for (const { order, peakV } of lines) {
    const phase = uniform(rng);
    for (let i = 0; i <= points; i++) {
      period[i] += peakV * Math.sin(2 * Math.PI * ((order * i) / points + phase));
    }
  }
  const step = (points * mainsHz) / sampleRate;
  let at = points * uniform(rng);
  return (block) => {
    let x = at;
    for (let i = 0; i < block.length; i++) {
      const k = Math.trunc(x);
      block[i] += period[k] + (x - k) * (period[k + 1] - period[k]);
      x += step;
      if (x >= points) x -= points;
    }
    at = x;
  };
}

/** Fields and ground loops: odd lines, weaker by their order (common practice). */
export function fieldLines(fundamentalV: number): MainsLine[] {
  return [1, 3, 5, 7, 9].map((order) => ({ order, peakV: fundamentalV / order }));
}

/**
 * Rectifier ripple behind a resistor and a decoupling capacitor, as it reaches the output: twice
 * the mains and its multiples, weaker by their order.
 */
export function rippleLines(supply: Supply, mainsHz: number): MainsLine[] {
  const { rippleV, feedOhm, decouplingFarad, rejection, harmonics } = supply;
  return [1, 2, 3, 4].map((multiple) => {
    const reactance = 2 * Math.PI * 2 * multiple * mainsHz * feedOhm * decouplingFarad;
    const part = harmonics?.[multiple - 1] ?? 1 / multiple;
    return { order: 2 * multiple, peakV: (rippleV * rejection * part) / Math.hypot(1, reactance) };
  });
}
