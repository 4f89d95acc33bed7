import { toDisplayName } from "../../capture/containers/open-file.js";
import type { SittingEvent, Turn } from "../../sitting/sitting-events.js";
import { formatClock } from "../../text/format-clock.js";
import { formatSigned } from "../../text/format-signed.js";
import { sanitizeLine } from "../sanitize.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";
import { nameSegment } from "./format-segment.js";
import { formatTurn } from "./format-turn.js";

type Now = Extract<SittingEvent, { readonly kind: "now" }>;
type Idle = Extract<SittingEvent, { readonly kind: "idle" }>;

/** What the bottom rows of the terminal shows during a sitting. */
export interface SittingPanel {
  /** The path whose turn it is; `complete` when every path has had its turn. */
  readonly turn?: Turn | "complete" | "complete-ends-itself";
  readonly heard?: Now | Idle;
  readonly isPaused: boolean;
  /** What the program is playing. */
  readonly playing?: Extract<SittingEvent, { readonly kind: "sound" }>;
  /** Whether the program plays the signal itself. */
  readonly sound: "plays" | "by-hand";
}

/** The panel after one more event. */
export function updatePanel(panel: SittingPanel, event: SittingEvent): SittingPanel {
  switch (event.kind) {
    case "turn":
      return { ...panel, turn: event.turn };
    case "complete":
      return {
        ...panel,
        turn: event.end === "when-complete" ? "complete-ends-itself" : "complete",
      };
    case "now":
    case "idle":
      return { ...panel, heard: event };
    case "sound": {
      const { playing: _, ...rest } = panel;
      return event.what === "over" ? rest : { ...rest, playing: event };
    }
    case "done":
      return event.command === "pause" || event.command === "resume"
        ? { ...panel, isPaused: event.command === "pause" }
        : panel;
    default:
      return panel;
  }
}

/**
 * The panel's lines: which path is next and how to set it, what is heard now, the keys.
 *
 * @param typed what is being typed, shown instead of the keys
 * @param rows rows of the terminal
 * @returns no line wider than the terminal
 */
export function renderPanel(
  panel: SittingPanel,
  typed: string | undefined,
  style: ReportStyle,
  rows: number,
): readonly string[] {
  const width = Math.min(style.width, 100) - 1;
  const palette = createPalette(style);
  const foot = [
    ...hearingLines(panel, width).map((line) => cut(line, width)),
    typed === undefined
      ? palette.quiet(cut(panel.sound === "plays" ? keysWhilePlaying : keys, width))
      : // Typing happens at the end.
        typed.slice(-width),
  ];
  const turn = turnLines(panel, width).map((line) => palette.strong(line));
  return [...turn.slice(0, Math.max(1, rows - foot.length - 2)), ...foot];
}

const keys = "a again  s skip  0 silent  d drop  p path  n note  space pause  e end  ? all";
const keysWhilePlaying = "Enter play  a again  s skip  0 silent  d drop  n note  e end  ? all";

const completeWords = {
  complete: "All paths have had their turn: e stores the round, p names one to play again.",
  "complete-ends-itself":
    "All paths have had their turn. The round is stored when the recorder has stopped.",
} as const;

function turnLines({ turn, isPaused }: SittingPanel, width: number): readonly string[] {
  if (turn === undefined) return [];
  const words = typeof turn === "string" ? [completeWords[turn]] : formatTurn(turn);
  const all = isPaused
    ? ["PAUSED: what is recorded now does not count. Press space to go on.", ...words]
    : words;
  return all.flatMap((line, k) =>
    wrapText(sanitizeLine(line), width, k === 0 ? "" : "    ", "    "),
  );
}

/** Cells of the bar that shows how far the signal has come. */
const barCells = 20;
/** If a recorder adds nothing for this long, the panel says so, seconds. */
const quietS = 3;

function hearingLines(panel: SittingPanel, width: number): readonly string[] {
  const { heard, playing, sound } = panel;
  if (playing?.what === "soft") return ["Playing softly, to check what comes back."];
  if (heard === undefined || heard.kind === "idle") {
    if (playing !== undefined) return [`Playing into ${sanitizeLine(playing.path)}.`];
    if (sound === "plays") return ["Ready: Enter plays the signal."];
    if (heard === undefined) return ["Listening."];
    const { file, forS, recorder } = heard;
    if (file === undefined) return ["Waiting for the recorder: there is no recording yet."];
    const name = sanitizeLine(toDisplayName(file));
    if (recorder === "closed") return [`${name} is closed. Waiting for the next recording.`];
    return [
      forS < quietS ? `Listening to ${name}.` : `Nothing new in ${name} for ${Math.round(forS)} s.`,
    ];
  }
  const { now, segment, share } = heard;
  const clip = now.atFullScale > 0 ? "  CLIPS: turn the interface down" : "";
  const level = Number.isFinite(now.peakDbfs)
    ? `peak ${formatSigned(now.peakDbfs.toFixed(0))} dBFS`
    : "digital silence";
  const pause = share === undefined ? "no signal: waiting for its start marker" : "a short gap";
  const plays = segment === undefined ? pause : nameSegment(segment);
  const filled = Math.round(barCells * (share ?? 0));
  const bar = share === undefined ? "" : `  ${"#".repeat(filled)}${".".repeat(barCells - filled)}`;
  const line = `${formatClock(now.atS)}${bar}  ${plays}, ${level}${clip}`;
  return line.length <= width ? [line] : [`${formatClock(now.atS)}${bar}  ${plays}`, level + clip];
}

function cut(line: string, width: number): string {
  return line.slice(0, width);
}
