/** Preferred number series of IEC 60063 (from memory). */
export const series = {
  E6: [1.0, 1.5, 2.2, 3.3, 4.7, 6.8],
  E24: [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6,
    6.2, 6.8, 7.5, 8.2, 9.1,
  ],
} as const;

/**
 * The preferred value nearest to a value, by ratio.
 *
 * @example
 * getPreferredValue(5.1e-6, "E6"); // 4.7e-6
 */
export function getPreferredValue(value: number, name: keyof typeof series): number {
  const decade = Math.floor(Math.log10(value));
  // Nothing of the decade below is nearer than its own first value.
  const around = [decade, decade + 1].flatMap((power) =>
    series[name].map((step) => Number((step * 10 ** power).toPrecision(6))),
  );
  const apart = (one: number) => Math.abs(Math.log(one / value));
  return around.reduce((best, one) => (apart(one) < apart(best) ? one : best));
}
