import type { DeskAge } from "../../desk/construction.js";

/** When a strip's electrolytics come due, by rule of thumb. */
export interface CapacitorLife {
  readonly strip: string;
  /** Year of installation or of the last recapping. */
  readonly since: number;
  /** Years that they last, by the rules. */
  readonly years: number;
  readonly due: number;
}

/** Years to which a desk kept switched off when idle lasts (common practice, no source). */
const idleYears = 20;
/** The same for one left powered all day and night (common practice, no source). */
const alwaysOnYears = 5;
/** Life halves for so many kelvins (the ten-kelvin rule; common practice). */
const halvingKelvin = 10;

/**
 * An estimate of when electrolytics come due. Wear goes with the hours powered: five years of all
 * day and night, and never more than twenty; both halve for every ten kelvins that it is warmer
 * inside than is usual, and double for ten cooler. All three are the trade's rules of thumb; what the rounds
 * show goes before.
 *
 * @returns undefined where the year is not known
 */
export function estimateCapacitorLife(
  strip: string,
  age: DeskAge | undefined,
): CapacitorLife | undefined {
  if (age === undefined) return undefined;
  const years = age.recapped.filter(({ strips }) => strips.includes(strip)).map(({ year }) => year);
  const known = [...(age.installed === undefined ? [] : [age.installed]), ...years];
  if (known.length === 0) return undefined;
  const since = Math.max(...known);
  const byHours = alwaysOnYears * (24 / age.poweredHours);
  const life = Math.min(idleYears, byHours) * 2 ** (-age.warmerKelvin / halvingKelvin);
  return { strip, since, years: Math.round(life), due: Math.round(since + life) };
}
