import type { Capacitor, Stage } from "../types.js";

/**
 * A capacitor and a resistor in series across the signal; the output is `direct` times the signal
 * plus `share` times the voltage across the resistor. A coupling capacitor is (0, 1): first-order
 * high-pass at 1/(2πRC). The leg of a non-inverting stage is (1, feedback/leg).
 *
 * The state is the voltage across the capacitor, integrated by the trapezoidal rule. An
 * electrolytic adds a voltage that bends with its own: `second`·v² + `third`·v³ in series with it
 * (that distortion grows with the voltage across the capacitor is common practice; the law is the
 * lowest-order one that does so).
 *
 * @param resistorOhm the resistor without the capacitor's own series resistance
 */
export function rc(
  capacitor: Capacitor,
  resistorOhm: number,
  direct: number,
  share: number,
  sampleRate: number,
): Stage {
  const { farad, seriesOhm, second, third } = capacitor;
  const step = 1 / (2 * sampleRate * (resistorOhm + seriesOhm) * farad);
  const keep = (1 - step) / (1 + step);
  const take = step / (1 + step);
  const across = (share * resistorOhm) / (resistorOhm + seriesOhm);
  let charge = 0;
  let before = 0;
  return (block) => {
    let v = charge;
    let last = before;
    for (let i = 0; i < block.length; i++) {
      const input = block[i];
      // The bend is a small part of v, so the v of the sample before will do for it.
      const driving = input - v * v * (second + third * v);
      v = keep * v + take * (driving + last);
      last = driving;
      block[i] = direct * input + across * (driving - v);
    }
    charge = v;
    before = last;
  };
}
