import { unprintedEvents } from "../report/sitting/event-kinds.js";
import { renderSittingEvent } from "../report/sitting/format-sitting-event.js";
import { formatKeyHelp } from "../report/sitting/key-help.js";
import { renderPanel, type SittingPanel, updatePanel } from "../report/sitting/sitting-panel.js";
import { wordSittingEvent } from "../report/sitting/word-sitting-event.js";
import type { ReportStyle } from "../report/style.js";
import type { SittingEvent } from "../sitting/sitting-events.js";
import type { SittingWorld } from "../sitting/sitting-world.js";
import type { SittingCommand } from "../sitting/types.js";
import { createKeyReader } from "./listen-keys.js";
import { getReportStyle, printReport, writeStdout } from "./output.js";

/** A terminal, a pipe or a script that a sitting talks to. */
export interface ListenScreen {
  readonly world: Omit<SittingWorld, "note">;
  readonly printJsonLine: (value: unknown) => void;
  /** Restores the terminal. */
  readonly close: () => void;
}

const escapeCode = String.fromCharCode(27);
/** ECMA-48: to the end of the line (8.3.41), to the end of the screen (8.3.39), up (8.3.22). */
const clearLine = `${escapeCode}[K`;
const clearBelow = `${escapeCode}[J`;
const up = (rows: number) => (rows > 0 ? `${escapeCode}[${rows}A` : "");

/** Events that update the panel and are not logged. */
const silent: ReadonlySet<SittingEvent["kind"]> = new Set(unprintedEvents);
/** Events that are shown in the panel, if there is one. */
const standing: ReadonlySet<SittingEvent["kind"]> = new Set(["turn", "complete"]);

/**
 * Opens the screen. A terminal has a panel at the bottom; without one, lines of text replace the
 * keys.
 *
 * @param sound whether the program plays the signal itself
 */
export async function openListenScreen(
  form: "json" | "text",
  sound: SittingPanel["sound"],
  style: ReportStyle,
): Promise<ListenScreen> {
  const commands: SittingCommand[] = [];
  let panel: SittingPanel = { isPaused: false, sound };
  /** Lengths of the lines that the panel fills. */
  let drawn: readonly number[] = [];
  let isOpen = true;
  const { stderr } = process;
  const hasPanel = form === "text" && stderr.isTTY === true && process.env.TERM !== "dumb";
  /** Moves to the panel's first line; a terminal that was made narrower has wrapped its lines. */
  const toTop = () => {
    const width = stderr.columns || style.width;
    const rows = drawn.reduce((sum, length) => sum + Math.max(1, Math.ceil(length / width)), 0);
    return `\r${up(rows - 1)}`;
  };
  const clear = () => {
    if (drawn.length > 0) stderr.write(`${toTop()}${clearBelow}`);
    drawn = [];
  };
  const draw = () => {
    if (!hasPanel || !isOpen) return;
    const lines = renderPanel(panel, keys.typed(), getReportStyle(stderr), stderr.rows || 24);
    stderr.write(`${toTop()}${lines.join(`${clearLine}\n`)}${clearLine}${clearBelow}`);
    drawn = lines.map((line) => line.replace(colour, "").length);
  };
  const print = (text: string) => {
    clear();
    printReport(text);
    draw();
  };
  const help = () => {
    if (hasPanel) print(formatKeyHelp());
  };
  let wake = () => {};
  const send = (command: SittingCommand) => {
    commands.push(command);
    wake();
  };
  const keys = createKeyReader(send, draw, help);
  const printJsonLine = (value: unknown) => writeStdout(`${JSON.stringify(value, withMessages)}\n`);
  const tell = (event: SittingEvent) => {
    if (form === "json") {
      if (!silent.has(event.kind)) printJsonLine(wordSittingEvent(event));
      return;
    }
    panel = updatePanel(panel, event);
    const text = hasPanel && standing.has(event.kind) ? "" : renderSittingEvent(event, style);
    if (text !== "") print(text);
    else draw();
  };
  const close = () => {
    if (!isOpen) return;
    clear();
    isOpen = false;
    keys.close();
    stderr.off("resize", draw);
    process.off("exit", close);
  };
  process.once("exit", close);
  stderr.on("resize", draw);
  return {
    world: {
      tell,
      takeCommands: () => commands.splice(0),
      nowS: () => performance.now() / 1000,
      // A key ends the wait.
      wait: (ms) =>
        new Promise((resolve) => {
          const timer = setTimeout(resolve, ms);
          wake = () => {
            clearTimeout(timer);
            resolve();
          };
        }),
    },
    printJsonLine,
    close,
  };
}

/** JSON leaves out an error's message unless it is listed. */
function withMessages(_: string, value: unknown): unknown {
  return value instanceof Error ? { ...value, message: value.message } : value;
}

/** "Select graphic rendition" (ECMA-48, 8.3.117). */
const colour = new RegExp(`${escapeCode}\\[[\\d;]*m`, "g");
