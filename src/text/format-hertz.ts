/**
 * Two or three digits of a frequency with its unit.
 *
 * @example
 * formatHertz(63.2); // "63 Hz"
 * formatHertz(12_500); // "12.5 kHz"
 */
export function formatHertz(hz: number): string {
  if (hz < 999.5) return `${Number(hz.toPrecision(hz < 99.5 ? 2 : 3))} Hz`;
  return `${Number((hz / 1000).toPrecision(hz < 9950 ? 2 : 3))} kHz`;
}
