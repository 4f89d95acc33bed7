/** Boltzmann constant, J/K; exact (SI, 2019). */
const boltzmann = 1.380649e-23;
/** 20 °C. */
const roomKelvin = 293.15;

/**
 * Thermal noise voltage of a resistance, V r.m.s.: √(4kTRB) (J. B. Johnson, H. Nyquist, Phys. Rev.
 * 32, 1928).
 *
 * @param ohm resistance
 * @param bandwidthHz width of the band
 * @param kelvin temperature, 20 °C when left out
 * @example
 * // 150 ohms over 20 kHz at 20 degrees: 0.22 microvolts, −130.9 dBu.
 * voltsToDbu(computeThermalNoiseV(150, 20000)).toFixed(1); // "-130.9"
 */
export function computeThermalNoiseV(
  ohm: number,
  bandwidthHz: number,
  kelvin = roomKelvin,
): number {
  return Math.sqrt(4 * boltzmann * kelvin * ohm * bandwidthHz);
}
