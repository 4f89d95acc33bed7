import type { PassSheet, PassSheetPass, PassSheetPlay } from "../../service/pass-sheet.js";
import { formatCount } from "../../text/format-count.js";
import { formatCommand } from "../../text/program-name.js";
import { sanitizeLine } from "../sanitize.js";
import { wrapText } from "../wrap.js";
import { formatDuration, formatLevel, listSheetCautions, recordings } from "./phrases.js";
import { inputLines } from "./text.js";

const width = 80;
const indent = "     ";

/** The run sheet of passes as plain text, to print and tick. */
export function renderPassSheetText(sheet: PassSheet): string {
  return [
    ...listPassHeadLines(sheet).flatMap(([word, text], i) =>
      wrapText(
        sanitizeLine(text),
        width,
        (i === 0 ? "RUN SHEET" : word).padEnd(12),
        " ".repeat(12),
      ),
    ),
    "",
    "BEFORE ANYTHING PLAYS",
    ...listSheetCautions(sheet).flatMap((caution) => wrapText(caution, width, "  !  ", indent)),
    "",
    "SETTING UP",
    ...sheet.steps.flatMap((step, i) =>
      wrapText(sanitizeLine(step), width, `${String(i + 1).padStart(3)}. `, indent),
    ),
    "",
    "INPUTS",
    ...sheet.inputs.flatMap(inputLines),
    "",
    "PASSES    (* set this; the other controls are as the sheet left them)",
    ...sheet.passes.flatMap(passLines),
    "",
    "AFTERWARDS",
    ...wrapText(formatPassCommand(sheet), width, indent),
    ...(sheet.left.length === 0 ? [] : wrapText(formatLeft(sheet.left), width, indent)),
    "",
  ].join("\n");
}

/** The head: what the sheet covers, and the time it takes compared with playing each path alone. */
export function listPassHeadLines({
  desk,
  profile,
  sampleRate,
  passes,
  work,
  single,
  isRetest,
}: PassSheet): readonly (readonly [word: string, text: string])[] {
  const paths = passes.reduce((sum, { plays }) => sum + plays.length, 0);
  const ready = passes.filter(({ plugs }) => plugs === 0).length;
  const without = ready === 0 ? "" : `, ${ready} of them without a plug`;
  return [
    ["desk", desk],
    ["signal", `${profile}, ${sampleRate / 1000} kHz`],
    [
      "paths",
      `${paths} in ${formatCount(passes.length, "pass", "passes")}${isRetest ? " of the whole desk, a re-test" : ""}${without}`,
    ],
    [
      "by hand",
      `${formatCount(work.plugs, "plug")}, ${formatCount(work.plays, "play")}; one by one ${single.plugs} and ${single.plays}`,
    ],
    [
      "time",
      `about ${formatDuration(work.totalS)}, ${formatDuration(work.handsS)} of it by hand; one by one about ${formatDuration(single.totalS)}`,
    ],
  ];
}

/** What to type when all is recorded. */
export function formatPassCommand({ only, isRetest }: PassSheet): string {
  if (isRetest) return formatCommand("analyze --retest", recordings);
  const some = only === undefined ? "" : ` --only ${only.join(",")}`;
  return formatCommand(`analyze${some}`, recordings);
}

/** The paths that the passes do not reach. */
export function formatLeft(left: readonly string[]): string {
  const [first] = left;
  const which = left.length > 1 ? `${first} to ${left.at(-1)}` : first;
  return `${formatCount(left.length, "path")} that no output reaches (${which}): play one by one: ${formatCommand("signal --single")}`;
}

/** "pass 2, by hand: outputs-1-8-turns….wav". */
export function formatPassTitle({ number, use, file, isAhead }: PassSheetPass): string {
  const how = { wired: "stays patched", split: "no plug", hand: "by hand" }[use];
  const ahead = isAhead ? ", patch it while the previous pass plays" : "";
  return `pass ${number}, ${how}${ahead}: ${file}`;
}

/** "strips 1-4, 7", or the one strip. */
export function formatOpenStrips(open: readonly string[]): string {
  return `${open.length === 1 ? "strip" : "strips"} ${formatOpen(open)}`;
}

/** "1-4, 7" of strips. */
function formatOpen(open: readonly string[]): string {
  const parts: string[] = [];
  for (let at = 0; at < open.length; ) {
    let end = at;
    while (end + 1 < open.length && Number(open[end + 1]) === Number(open[end]) + 1) end++;
    parts.push(end - at > 1 ? `${open[at]}-${open[end]}` : open.slice(at, end + 1).join(", "));
    at = end + 1;
  }
  return parts.join(", ");
}

/**
 * How to open its strips and close all others: by routing if there are buses, otherwise by mutes.
 */
export function formatOpening({ open, plays }: Pick<PassSheetPass, "open" | "plays">): string {
  const isRouted = plays.some(({ bus }) => bus !== undefined);
  return isRouted
    ? `Route ${formatOpenStrips(open)} as listed, take all others off the buses`
    : `Open ${formatOpenStrips(open)}, mute all others`;
}

function passLines(pass: PassSheetPass): readonly string[] {
  return [
    "",
    ...wrapText(formatPassTitle(pass), width, "[ ]  ", indent),
    ...wrapText(formatOpening(pass), width, indent),
    ...pass.plays.flatMap(playLines),
    `${indent}remark  ${"_".repeat(width - 13)}`,
  ];
}

/** One line for each plug: what goes where, and how. */
export function formatPlay(play: PassSheetPlay): string {
  const pad = play.padDb === undefined ? "" : ` through the ${play.padDb} dB pad`;
  const where = play.plug === undefined ? "stays" : `${play.plug}${pad}`;
  const bus = play.bus === undefined ? "" : `; route to ${play.bus}`;
  const channel = play.channel === undefined ? "" : `; comes back on channel ${play.channel}`;
  return `output ${play.output} -> ${play.path} (${formatLevel(play)}): ${where}${bus}${channel}`;
}

function playLines(play: PassSheetPlay): readonly string[] {
  const set = play.settings.filter(({ move }) => move === "set");
  return [
    ...wrapText(sanitizeLine(formatPlay(play)), width, `${indent}[ ] `, `${indent}    `),
    ...(set.length === 0
      ? []
      : wrapText(
          sanitizeLine(set.map(({ control, to }) => `*${control}: ${to}`).join("; ")),
          width,
          `${indent}    set `,
          `${indent}        `,
        )),
  ];
}
