import type { StripDownBoard } from "../desk/strip-down/types.js";
import type { Opening, StillOff } from "../service/notebook/opening.js";
import { formatCount } from "../text/format-count.js";
import { formatCommand } from "../text/program-name.js";
import { listBoardSteps } from "./plan/boards.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** "the bottom cover is off", or which of its fixings are missing. */
export function formatStillOff({ what, state, fixing }: StillOff): string {
  if (fixing === undefined) return `the ${what} is ${state}`;
  const { what: name, count, found } = fixing;
  return found === undefined
    ? `${count} × ${name} of the ${what} have not been counted`
    : `${count - found} of ${count} × ${name} of the ${what} are missing`;
}

/** The command for when it is back. */
export function formatBackAdvice({ note, state, fixing }: StillOff): string {
  if (state === "fixings") {
    return `When they are back in: ${formatCommand(`opening counted ${note} "${fixing?.count}x ${fixing?.what}"`)}`;
  }
  return `When it is ${state === "unplugged" ? "plugged in" : "back"}: ${formatCommand(`note back ${note}`)}`;
}

/** The state of an opening, for somebody who comes back to it. */
export function renderOpening(opening: Opening | undefined, style: ReportStyle): string {
  const { strong, good } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  if (opening === undefined) {
    return [
      ...wrapText(
        `No opening is in progress: nothing is logged as off. \`${formatCommand("opening start")}\` starts one; \`${formatCommand("plan")}\` says what to do.`,
        width,
      ),
      "",
    ].join("\n");
  }
  const { since, still, back } = opening;
  const list = (title: string, states: readonly StillOff["state"][]) => {
    const own = still.filter(({ state }) => states.includes(state));
    if (own.length === 0) return [];
    return [
      "",
      strong(title),
      ...own.flatMap((one) =>
        wrapText(
          `${one.note}  ${one.place}: ${one.fixing === undefined ? one.what : formatStillOff(one)}`,
          width,
          "[ ] ",
          "    ",
        ),
      ),
    ];
  };
  return [
    strong(
      `The desk has been open since ${since}: ${formatCount(still.length, "thing")} to put right, ${back.length} back.`,
    ),
    ...list("TAKEN OFF", ["off"]),
    ...list("UNPLUGGED", ["unplugged"]),
    ...list("TO BE COUNTED", ["fixings"]),
    ...(back.length === 0
      ? []
      : [
          "",
          strong("BACK"),
          ...back.flatMap(({ note, place, what }) =>
            wrapText(`${note}  ${place}: ${what}`, width, "[x] ", "    "),
          ),
        ]),
    "",
    ...(still.length > 0
      ? [formatBackAdvice(still[0])]
      : back.length > 0
        ? [
            good(
              `Everything that came off is back. When the desk is closed: ${formatCommand("opening end")}`,
            ),
          ]
        : wrapText(
            `Nothing has come off yet. When something does, log it: ${formatCommand("opening off 6 bottom cover")}`,
            width,
          )),
    "",
  ].join("\n");
}

/** What was just logged, and how a board of the strip-down book comes out. */
export function renderTakenOff(
  still: readonly StillOff[],
  ids: readonly string[],
  board: StripDownBoard | undefined,
  style: ReportStyle,
): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const own = still.filter(({ note }) => ids.includes(note));
  return [
    ...own.flatMap(({ note, place, what, state }) =>
      wrapText(`${note}  ${place}: ${what} ${state}`, width, "", "    "),
    ),
    ...(board === undefined
      ? []
      : listBoardSteps(board).flatMap((text) => wrapText(text, width, "  - ", "    "))),
    "",
  ].join("\n");
}
