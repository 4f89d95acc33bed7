import { renderSittingEvent } from "../report/sitting/format-sitting-event.js";
import { renderSittingStatus } from "../report/sitting/format-sitting-status.js";
import type { ReportStyle } from "../report/style.js";
import type { SittingWorld } from "../sitting/run-sitting.js";
import type { SittingEvent } from "../sitting/sitting-events.js";
import type { SittingCommand } from "../sitting/types.js";
import { createKeyReader } from "./listen-keys.js";
import { escapeUnprintable, printReport, writeStdout } from "./output.js";

/** A terminal, a pipe or a script that a sitting talks to. */
export interface ListenScreen {
  readonly world: Omit<SittingWorld, "note">;
  readonly printJsonLine: (value: unknown) => void;
  /** Gives the terminal back as it was. */
  readonly close: () => void;
}

/** Moves to the first column and clears the line (ECMA-48, 8.3.41). */
const clearLine = `\r${String.fromCharCode(27)}[K`;

/** Opens it; away from a terminal there is no status line, and lines of text are taken for keys. */
export async function openListenScreen(
  form: "json" | "text",
  style: ReportStyle,
): Promise<ListenScreen> {
  const commands: SittingCommand[] = [];
  let status = "";
  let isOpen = true;
  const hasStatus = form === "text" && process.stderr.isTTY === true && process.env.TERM !== "dumb";
  const clear = () => {
    if (hasStatus) process.stderr.write(clearLine);
  };
  const draw = () => {
    if (!hasStatus || !isOpen) return;
    const typed = keys.typed();
    const line = escapeUnprintable(typed ?? status).slice(0, style.width - 1);
    process.stderr.write(`${clearLine}${line}`);
  };
  const keys = createKeyReader((command) => commands.push(command), draw);
  const printJsonLine = (value: unknown) => writeStdout(`${JSON.stringify(value)}\n`);
  const tell = (event: SittingEvent) => {
    if (form === "json") {
      if (event.kind !== "now") printJsonLine(event);
      return;
    }
    if (event.kind === "now") {
      status = renderSittingStatus(event, style.width);
      draw();
      return;
    }
    const text = renderSittingEvent(event, style);
    if (text === "") return;
    clear();
    printReport(text);
    draw();
  };
  const close = () => {
    if (!isOpen) return;
    clear();
    isOpen = false;
    keys.close();
    process.off("exit", close);
  };
  process.once("exit", close);
  return {
    world: {
      tell,
      takeCommands: () => commands.splice(0),
      nowS: () => performance.now() / 1000,
      wait: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    },
    printJsonLine,
    close,
  };
}
