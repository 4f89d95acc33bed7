/** `<date>-<nn>`: the day of the round and its number on that day. */
const idPattern = /^(\d{4}-\d{2}-\d{2})-(\d{2,4})$/;

export interface RoundIdParts {
  readonly day: string;
  readonly number: number;
}

/** The parts of a round's id, or undefined if the text is not an id. */
export function parseRoundId(text: string): RoundIdParts | undefined {
  const [, day, number] = idPattern.exec(text) ?? [];
  return day === undefined ? undefined : { day, number: Number(number) };
}

/** "2031-03-14-01". */
export function formatRoundId({ day, number }: RoundIdParts): string {
  return `${day}-${String(number).padStart(2, "0")}`;
}

/** Oldest first. */
export function compareRoundIds(a: string, b: string): number {
  const [one, other] = [parseRoundId(a), parseRoundId(b)];
  if (one === undefined || other === undefined) return a < b ? -1 : 1;
  if (one.day !== other.day) return one.day < other.day ? -1 : 1;
  return one.number - other.number;
}
