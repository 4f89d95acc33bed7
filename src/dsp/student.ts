const exact = [12.706204736432095, 4.302652729911275, 3.182446305284263, 2.7764451051977987];
/** 97.5 % point of the standard normal distribution. */
const z = 1.959963984540054;

/**
 * How many standard errors either way hold 95 % of a Student t distribution.
 *
 * Source: the expansion of the quantile in 1/ν (M. Abramowitz, I. A. Stegun, "Handbook of
 * Mathematical Functions", 26.7.5), good to 0.2 % from five degrees of freedom; exact below.
 *
 * @param freedom degrees of freedom, 1 or more
 * @example
 * getStudent95(1).toFixed(1); // "12.7"
 */
export function getStudent95(freedom: number): number {
  const whole = Math.floor(freedom);
  if (whole <= exact.length) return exact[Math.max(1, whole) - 1];
  return (
    z +
    (z ** 3 + z) / (4 * freedom) +
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * freedom ** 2) +
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / (384 * freedom ** 3)
  );
}

/**
 * Share of a Student t distribution that lies within ±`t`, 0 to 1.
 *
 * Source: the finite series for whole ν (M. Abramowitz, I. A. Stegun, "Handbook of Mathematical
 * Functions", 26.7.3 and 26.7.4).
 *
 * @param t from 0 on
 * @param freedom degrees of freedom, a whole number from 1 on
 * @example
 * // ν = 1 is the Cauchy distribution: half of it lies within its scale.
 * computeStudentShare(1, 1).toFixed(6); // "0.500000"
 */
export function computeStudentShare(t: number, freedom: number): number {
  const angle = Math.atan(t / Math.sqrt(freedom));
  const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
  const isOdd = freedom % 2 === 1;
  let term = isOdd ? cosine : 1;
  let sum = freedom > 1 ? term : 0;
  for (let k = isOdd ? 3 : 2; k <= freedom - 2; k += 2) {
    term *= ((k - 1) / k) * cosine ** 2;
    sum += term;
  }
  return isOdd ? (2 / Math.PI) * (angle + sine * sum) : sine * sum;
}
