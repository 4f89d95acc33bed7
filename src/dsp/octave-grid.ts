/**
 * Exact midband frequencies of fractional-octave bands, base ten: 1000·10^(3n/(10·b)) Hz for an
 * odd fraction 1/b, shifted by half a band for an even one (IEC 61260-1, 5.2 and 5.3). The
 * response is read at points, so 1 kHz itself must be one of them and the unshifted series is
 * used for every fraction.
 *
 * @param fraction bands per octave, 24 for 1/24 octave
 * @param fromHz lowest frequency wanted, nominal
 * @param toHz highest
 * @example
 * buildOctaveGrid(1, 500, 2000).map(Math.round); // [501, 1000, 1995]
 */
export function buildOctaveGrid(fraction: number, fromHz: number, toHz: number): number[] {
  const first = Math.ceil(((Math.log10(fromHz / 1000) - slack) * 10 * fraction) / 3);
  const last = Math.floor(((Math.log10(toHz / 1000) + slack) * 10 * fraction) / 3);
  const grid: number[] = [];
  for (let n = first; n <= last; n++) grid.push(1000 * 10 ** ((3 * n) / (10 * fraction)));
  return grid;
}

/** Nominal 20 Hz is exactly 19.95 Hz, nominal 20 kHz 19.953 kHz. */
const slack = 0.0012;
