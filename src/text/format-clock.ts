/**
 * A time as minutes and seconds, with hours when there are any.
 *
 * @param seconds negative values count as 0
 * @example
 * formatClock(75); // "1:15"
 * formatClock(3675); // "1:01:15"
 */
export function formatClock(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  const two = (value: number) => String(value).padStart(2, "0");
  const minutes = Math.floor(whole / 60) % 60;
  const hours = Math.floor(whole / 3600);
  const rest = two(whole % 60);
  return hours > 0 ? `${hours}:${two(minutes)}:${rest}` : `${minutes}:${rest}`;
}
