/** Pole frequencies of the A-weighting, Hz (IEC 61672-1, Annex E). */
const poles = [20.598997, 107.65265, 737.86223, 12194.217] as const;

/**
 * A-weighting as an amplitude ratio, 1 at 1 kHz.
 *
 * Source: IEC 61672-1, Annex E: the magnitude of the analogue transfer function, so that it holds
 * at every sample rate.
 *
 * @param hz frequency, Hz
 */
export function aWeighting(hz: number): number {
  return aMagnitude(hz) / aMagnitude(1000);
}

function aMagnitude(hz: number): number {
  const [f1, f2, f3, f4] = poles;
  const f = hz * hz;
  return (f * f) / ((f + f1 * f1) * Math.sqrt((f + f2 * f2) * (f + f3 * f3)) * (f + f4 * f4));
}
