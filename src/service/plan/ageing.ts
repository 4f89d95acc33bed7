import type { DeskAge } from "../../desk/construction.js";

/** When a strip's electrolytics come due, by rule of thumb. */
export interface CapacitorLife {
  readonly strip: string;
  /** Year of installation or of the last recapping. */
  readonly since: number;
  /** Their life in years, by the rules of thumb. */
  readonly years: number;
  readonly due: number;
}

/** Years; capacitor life in a desk kept switched off when idle (common practice, no source). */
const idleYears = 20;
/** The same for one left powered all day and night (common practice, no source). */
const alwaysOnYears = 5;
/** Kelvins that halve the life (the ten-kelvin rule; common practice, no source). */
const halvingKelvin = 10;

/**
 * An estimate of when electrolytics come due. Wear is proportional to hours powered: five years of
 * continuous use, and never more than twenty; both halve for every ten kelvins above the usual
 * temperature inside, and double for ten below. All three are rules of thumb; measured results take
 * precedence.
 *
 * @returns undefined if the year is not known
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
