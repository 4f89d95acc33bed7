import type { CountedPart, StripDownBoard, TakeOff } from "../../desk/strip-down/types.js";
import { nameStrips } from "./name-strips.js";

/** "4 × M3x8, 2 × washer 3.2". */
export function formatCounted(parts: readonly CountedPart[]): string {
  return parts.map(({ count, what }) => `${count} × ${what}`).join(", ");
}

/** How a board comes out, one line for each step, in order. */
export function listBoardSteps(board: StripDownBoard): readonly string[] {
  const { after, knobs, ties, connectors, steps, extender } = board;
  return [
    ...(after.length === 0 ? [] : [`first take off: ${after.join(", ")}`]),
    ...listed("pull the knobs", knobs),
    ...listed("cut these ties, and replace them later", ties),
    ...listed("label and unplug", connectors),
    ...listTakeOff(board),
    ...steps,
    ...(extender === undefined ? [] : [`runs outside the desk on: ${extender}`]),
  ];
}

/** What applies to anything that comes off: fixings, weight, people, photos. */
export function listTakeOff({ fixings, weightKg, people, photos }: TakeOff): readonly string[] {
  const weight = weightKg === undefined ? [] : [`what comes off weighs ${weightKg} kg`];
  const hands = people > 1 ? [`takes ${people} people`] : [];
  return [
    ...(fixings.length === 0 ? [] : [`count the fixings into the tray: ${formatCounted(fixings)}`]),
    ...(weight.length + hands.length === 0 ? [] : [[...weight, ...hands].join(" and ")]),
    ...listed("photo", photos),
  ];
}

function listed(head: string, texts: readonly string[]): readonly string[] {
  return texts.length === 0 ? [] : [`${head}: ${texts.join(", ")}`];
}

/** Which board comes out of which strips, and how long that takes. */
export function formatBoardTitle({ name, strips, minutes }: StripDownBoard): string {
  const each = minutes === undefined ? "" : `, ${minutes} min${strips.length > 1 ? " each" : ""}`;
  return `How the ${name} comes out (${nameStrips(strips)})${each}`;
}

/** The same for a board of a section. */
export function formatSectionBoardTitle(
  { name, minutes }: StripDownBoard,
  section: string,
): string {
  return `How the ${name} comes out (${section})${minutes === undefined ? "" : `, ${minutes} min`}`;
}

/** The tools for everything that comes off, each once, and how many people it takes. */
export function listBoardTools(
  boards: readonly StripDownBoard[],
  opening: TakeOff | undefined,
): readonly string[] {
  const all: readonly (TakeOff & { readonly name: string })[] = [
    ...(opening === undefined ? [] : [{ ...opening, name: "opening the desk" }]),
    ...boards,
  ];
  const tools = [...new Set(all.flatMap((one) => one.tools))];
  const extenders = boards.flatMap(({ name, extender }) =>
    extender === undefined ? [] : [`${extender} (extender of the ${name})`],
  );
  const heavy = all.filter(({ people }) => people > 1);
  const most = Math.max(1, ...heavy.map(({ people }) => people));
  const helpers = most === 2 ? "a second person" : `${most - 1} more people`;
  return [
    ...tools,
    ...new Set(extenders),
    ...(heavy.length === 0 ? [] : [`${helpers}, for ${heavy.map(({ name }) => name).join(", ")}`]),
  ];
}

/** The count of all screws and nuts of an opening, which must go back. */
export function addUpFixings(
  boards: readonly StripDownBoard[],
  opening: TakeOff | undefined,
): readonly CountedPart[] {
  const counts = new Map<string, number>();
  const add = ({ fixings }: TakeOff, times: number) => {
    for (const { what, count } of fixings) {
      counts.set(what, (counts.get(what) ?? 0) + count * times);
    }
  };
  if (opening !== undefined) add(opening, 1);
  for (const board of boards) add(board, board.strips.length);
  return [...counts].map(([what, count]) => ({ what, count }));
}
