const units = (
  "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen " +
  "sixteen seventeen eighteen nineteen"
).split(" ");
const tens = "twenty thirty forty fifty sixty seventy eighty ninety".split(" ");

/**
 * A whole number from 1 to 99 spelt out, its words separated by a space; undefined for others.
 *
 * @example
 * formatNumberWords(24); // "twenty four"
 */
export function formatNumberWords(value: number): string | undefined {
  if (!Number.isInteger(value) || value < 1 || value > 99) return undefined;
  if (value < 20) return units[value];
  const unit = value % 10;
  const ten = tens[Math.floor(value / 10) - 2];
  return unit === 0 ? ten : `${ten} ${units[unit]}`;
}
